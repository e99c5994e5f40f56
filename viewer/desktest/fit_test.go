package desktest

import (
	"fmt"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// small lists what a mouse can press and is less than 44 px high or wide.
const small = `[...document.querySelectorAll("button, summary, a[href], input, select")].filter(e => !e.closest(".hidden")).map(e => [e, e.getBoundingClientRect()]).
	filter(([, r]) => r.width > 1 && (r.width < 43.9 || r.height < 43.9)).map(([e, r]) => e.outerHTML.slice(0, 80) + " is " + r.width + " by " + r.height)`

// Every screen in every size: no fault that axe-core knows, nothing wider than the window, text of
// 7:1, nothing too small for a mouse, or for a finger on a tablet.
func TestDeskLooks(t *testing.T) {
	t.Parallel()
	office, _ := newOffice(t)
	for _, size := range []struct {
		name   string
		option phone.Option
		finger bool
	}{
		{"1280", phone.Desk(1280, 800), false},
		{"1920", phone.Desk(1920, 1080), false},
		{"tablet", phone.Size(820, 1180), true},
	} {
		t.Run(size.name, func(t *testing.T) {
			t.Parallel()
			p := phone.New(t, office, size.option, phone.Durable())
			check := func(where string) {
				t.Helper()
				p.CheckAxe(where)
				p.CheckWidth(where)
				p.CheckContrast(where)
				if size.finger {
					p.CheckTargets(where)
				}
				for _, s := range phone.Eval[[]string](p.Page, small) {
					t.Errorf("%s: too small to press: %s", where, s)
				}
				p.Screenshot(fmt.Sprintf("%s-%s", where, size.name))
			}
			p.Open("/desk/#/enrol/" + office.InviteFor("A. Desk", property, second))
			p.WaitText("The code from the office is filled in")
			check("enrol")
			p.Tap("Enrol this computer")
			p.WaitHeading("Properties")
			p.WaitText("1 January 2026")
			check("properties")
			open(p.Page)
			p.WaitFor(row("A. Desk"))
			p.WaitFor(link("Connected"))
			p.WaitStill()
			if phone.Eval[bool](p.Page, `document.querySelector(".items .new") !== null`) {
				t.Error("what was loaded for the first time is called new")
			}
			check("items")
			p.Tap("Dam 2, Check dam")
			p.WaitText("0.08 m")
			p.WaitFor(`document.querySelector(".panel .profile .bed") !== null`)
			p.WaitStill()
			check("item")
			inside := phone.Eval[bool](p.Page, `(r => r.top >= 0 && r.bottom <= innerHeight)(document.querySelector(".items .chosen").getBoundingClientRect())`)
			if !inside {
				t.Error("the chosen row is not in sight")
			}
			if !phone.Eval[bool](p.Page, `(m => [m, document.querySelector(".panel"), document.querySelector(".items")].every(e => (r => r.width > 200 && r.top < innerHeight - 100)(e.getBoundingClientRect())))(document.querySelector(".map"))`) {
				t.Error("table, map and item are not in sight together")
			}
		})
	}
}

// Text at twice its size reflows: nothing is cut off or wider than the window.
func TestDeskWithLargeText(t *testing.T) {
	t.Parallel()
	office, code := newOffice(t)
	p := phone.New(t, office, phone.Desk(1280, 800), phone.Durable())
	p.BigText()
	p.Open("/desk/#/enrol/" + code)
	p.Tap("Enrol this computer")
	p.WaitHeading("Properties")
	p.CheckWidth("properties in large text")
	open(p.Page)
	p.Tap("Dam 2, Check dam")
	p.WaitText("0.08 m")
	p.WaitStill()
	p.CheckWidth("an item in large text")
	p.Screenshot("large-text")
}
