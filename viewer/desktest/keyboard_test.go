package desktest

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"headcut/viewer/fieldtest/phone"
)

// Everything the mouse can do, the keyboard can.
func TestDeskByKeyboardAlone(t *testing.T) {
	t.Parallel()
	office, code := newOffice(t)
	p := seated(t, office, code)
	key := func(k string) { t.Helper(); p.Do(chromedp.KeyEvent(k)) }
	tabTo := func(what, is string) {
		t.Helper()
		for range 40 {
			key(kb.Tab)
			if phone.Eval[bool](p.Page, is) {
				return
			}
		}
		t.Fatalf("40 presses of the Tab key do not lead to %s", what)
	}
	focused := func(words string) string {
		return `document.activeElement.innerText.trim().startsWith("` + words + `")`
	}
	p.WaitText(property)
	tabTo("the property", focused(property))
	key(kb.Enter)
	p.WaitHeading(property)
	p.WaitText("9 items")
	p.WaitStill()

	tabTo("the order by name", focused("Name"))
	key(kb.Enter)
	p.WaitFor(`document.querySelector(".items tbody tr").innerText.includes("Dam 1")`)
	tabTo("the first row", focused("Dam 1"))
	if phone.Eval[string](p.Page, `getComputedStyle(document.activeElement).outlineStyle`) == "none" {
		t.Error("the focus cannot be seen in the table")
	}
	key(kb.ArrowDown)
	p.WaitFor(focused("Dam 2"))
	key(kb.End)
	key(kb.Home)
	key(kb.ArrowDown)
	p.WaitFor(focused("Dam 2"))
	if stops := phone.Eval[int](p.Page, `document.querySelectorAll('.items .open[tabindex="0"]').length`); stops != 1 {
		t.Errorf("%d rows are stops of the Tab key, want one", stops)
	}
	key(kb.Enter)
	p.WaitFor(`document.activeElement.tagName === "H2" && document.activeElement.innerText === "Dam 2"`)
	p.WaitText("0.08 m")
	key(kb.Escape)
	p.WaitFor(`document.querySelector(".panel") === null && ` + focused("Dam 2"))

	tabTo("the map", `document.activeElement.classList.contains("map")`)
	before := phone.Eval[string](p.Page, `document.querySelector(".scale svg").dataset.px`)
	key("+")
	key("+")
	p.WaitFor(`document.querySelector(".scale svg").dataset.px !== "` + before + `"`)
}
