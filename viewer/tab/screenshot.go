package tab

import (
	"bytes"
	"flag"
	"image/png"
	"os"
	"path/filepath"

	"github.com/chromedp/chromedp"
)

var shots = flag.String("shots", "", "keep screenshots in this `folder`")

// Screenshot takes a picture of the window as it stands, a PNG; with -shots DIR it is kept
// as DIR/name.png. A picture of one colour fails the test: nothing was drawn.
func (b *Tab) Screenshot(name string) []byte {
	b.t.Helper()
	shot := Ask(b, chromedp.CaptureScreenshot())
	picture, err := png.Decode(bytes.NewReader(shot))
	if err != nil {
		b.t.Fatal(err)
	}
	box, first, plain := picture.Bounds(), picture.At(0, 0), true
	for y := box.Min.Y; y < box.Max.Y && plain; y += 3 {
		for x := box.Min.X; x < box.Max.X && plain; x += 3 {
			plain = picture.At(x, y) == first
		}
	}
	if plain {
		b.t.Errorf("%s: the picture has one colour only: nothing was drawn", name)
	}
	if *shots != "" {
		if err := os.MkdirAll(*shots, 0o755); err != nil {
			b.t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(*shots, name+".png"), shot, 0o644); err != nil {
			b.t.Fatal(err)
		}
	}
	return shot
}
