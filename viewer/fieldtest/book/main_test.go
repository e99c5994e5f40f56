// Package book keys level books into the field page as an officer does in a gully, and pegs
// by their set-ups. The levels wanted are those printed in the sources of
// testdata/reference/survey.csv.
package book

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

func TestMain(m *testing.M) { phone.Main(m) }

const property = "Stony Block"

// here is where the phones of these tests stand: nowhere in particular.
var here = phone.Fix{Lon: 146.5, Lat: -20.25, AccuracyM: 4}

// enrolled is a phone on its first screen, with features planted at the office beforehand.
func enrolled(t *testing.T, planted []register.Entry, options ...phone.Option) *phone.Phone {
	t.Helper()
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	if len(planted) > 0 {
		id := office.Property(property).ID
		for i := range planted {
			planted[i].Property = id
		}
		office.Plant(property, planted...)
	}
	return withCode(t, office, code, options...)
}

// withCode is another phone of the office, on its first screen.
func withCode(t *testing.T, office *phone.Office, code string, options ...phone.Option) *phone.Phone {
	t.Helper()
	p := phone.New(t, office, append([]phone.Option{phone.Durable()}, options...)...)
	p.Enrol(property, code, here)
	p.WaitText("The property is on this phone")
	return p
}

// newBook opens an empty level book.
func newBook(p *phone.Phone) {
	p.Go("#/level")
	p.WaitHeading("Level")
	p.Tap("New level book")
	p.WaitText("First a backsight")
}

// openBook is the id of the book on the screen, from its address: "#/level/ID", "#/peg/with/ID".
func openBook(p *phone.Phone) string {
	route := phone.Eval[string](p.Page, "location.hash")
	return route[strings.LastIndex(route, "/")+1:]
}

// staffOn says where the next reading is taken.
func staffOn(p *phone.Phone, what string) {
	p.Tap("Staff on nothing marked")
	p.Tap(what)
}

// pegOut sets the level up and begins to peg.
func pegOut(p *phone.Phone, what string) {
	setUp(p)
	p.Tap("Peg out")
	p.Tap(what)
}

// key presses keys of the pad, one tap each: "1.842", "-0.3".
func key(p *phone.Phone, number string) {
	for _, k := range number {
		name := string(k)
		switch k {
		case '.':
			name = "point"
		case '-':
			p.TapSelector(".pad .sign")
			continue
		}
		p.TapSelector(".pad .k" + name)
	}
}

func enter(p *phone.Phone) { p.TapSelector(".pad .enter") }

// bookReading keys a reading and books it.
func bookReading(p *phone.Phone, reading string) {
	key(p, reading)
	enter(p)
}

// kept waits until every key is in the phone's store.
func kept(p *phone.Phone) {
	p.WaitFor(`document.querySelector(".standing")?.dataset.kept === "true"`)
}

func standing(p *phone.Phone) string {
	return phone.Eval[string](p.Page, `document.querySelector(".standing").dataset.standing`)
}

// text is what a selector's first element shows.
func text(p *phone.Phone, selector string) string {
	return strings.Join(strings.Fields(phone.Eval[string](p.Page, fmt.Sprintf(`document.querySelector(%q)?.innerText ?? ""`, selector))), " ")
}

// pageRow is a row of the book as the page shows it.
type pageRow struct {
	Point, Cells, Level, Step string
	Struck                    bool
}

// pageOf opens the book's page and reads it off, once it has as many rows as wanted.
func pageOf(p *phone.Phone, rows int) []pageRow {
	p.Tap(fmt.Sprintf("Page (%d)", rows))
	return phone.Eval[[]pageRow](p.Page, `[...document.querySelectorAll(".bookrows > li")].map(e => ({
		Point: e.querySelector(".point").innerText, Cells: e.querySelector(".cells").innerText,
		Level: e.querySelector(".reduced b")?.innerText ?? "", Step: e.querySelector(".step").innerText.trim(), Struck: e.classList.contains("struck") }))`)
}

// press sends keys of a real keyboard to whatever has the focus.
func press(p *phone.Phone, keys string) { p.Do(chromedp.KeyEvent(keys)) }
