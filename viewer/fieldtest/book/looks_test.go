package book

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// Every screen of the level book and of pegging, as an eye and a gloved thumb meet it.
func TestScreensFitTheHand(t *testing.T) {
	for _, c := range []struct {
		name          string
		width, height int64
		big           bool
	}{
		{"usual", 412, 800, false},
		{"smallest", 320, 640, false},
		{"big-text", 412, 800, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := enrolled(t, land(t), phone.Size(c.width, c.height))
			if c.big {
				p.BigText()
			}
			look := func(name string) {
				t.Helper()
				kept(p)
				p.CheckFit(name)
				p.Screenshot(c.name + "-" + name)
			}
			p.Go("#/level")
			p.WaitHeading("Level")
			p.CheckFit("books")
			p.Screenshot(c.name + "-books")
			p.Tap("New level book")
			p.WaitText("First a backsight")
			look("first")
			p.Tap("Staff on nothing marked")
			p.CheckFit("stand")
			p.Screenshot(c.name + "-stand")
			p.Tap("Gate post, mark")
			bookReading(p, "1.842")
			for _, r := range []struct{ up, read string }{{"0", "1.655"}, {"10", "1.31"}, {"20", "0.902"}, {"30", "0.61"}} {
				if r.up == "0" {
					p.Tap("Staff on nothing marked")
					p.Tap("Main gully, bed")
				}
				if r.up == "0" || r.up == "10" { // the pace is known after two
					key(p, r.read)
					enter(p)
					bookReading(p, r.up)
					continue
				}
				bookReading(p, r.read)
			}
			key(p, "1.435")
			p.WaitText("fall")
			look("sight")
			p.Tap("Section")
			p.WaitFor(`document.querySelector(".section svg .bed") !== null`)
			look("section")
			p.Tap("Write")
			p.Tap("Foresight")
			enter(p)
			p.WaitText("Move the level")
			look("turning")
			p.Tap("This is Gate post, 100.000")
			p.Tap("Page (6)")
			phone.Eval[bool](p.Page, `(document.querySelector(".bookrow").click(), true)`)
			p.WaitText("Strike out and write again")
			look("page")
		})
	}
}

// Pegging at the smallest size and with large text; TestNextDamToe and its neighbours look at
// the usual one.
func TestPeggingFitsTheHand(t *testing.T) {
	for _, c := range []struct {
		name          string
		width, height int64
		big           bool
	}{{"smallest", 320, 640, false}, {"big-text", 412, 800, true}} {
		t.Run(c.name, func(t *testing.T) {
			p := enrolled(t, land(t), phone.Size(c.width, c.height))
			if c.big {
				p.BigText()
			}
			setUp(p)
			p.Tap("Peg out")
			p.CheckFit("tasks")
			p.Screenshot(c.name + "-tasks")
			p.Tap("Check dams, toe by toe")
			bookReading(p, "1.835")
			p.WaitText("Staff 1.435")
			key(p, "1.62")
			guided(p, "Go up 0.19 m")
			p.CheckFit("dams")
			p.TapSelector(".numberbox.large input")
			p.Screenshot(c.name + "-dams")
		})
	}
}
