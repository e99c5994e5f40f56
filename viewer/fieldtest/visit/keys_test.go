package visit

import (
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// press presses one key.
func (d day) press(key string) {
	d.t.Helper()
	keys := map[string]string{"Tab": kb.Tab, "Enter": kb.Enter, "Space": " "}
	d.Do(chromedp.KeyEvent(keys[key]))
}
