package book

import (
	"fmt"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// A bed is levelled, planned on, and pegged from the plan, all with no signal; the office then has each
// dam once, those pegged and the one still proposed.
func TestDamsArePlannedAndPeggedOffline(t *testing.T) {
	t.Parallel()
	for _, size := range [][2]int64{{390, 640}, {320, 640}} {
		t.Run(fmt.Sprint(size[0]), func(t *testing.T) {
			p := enrolled(t, land(t), phone.Size(size[0], size[1]))
			look := func(name string) {
				t.Helper()
				p.CheckFit(name)
				p.Screenshot(fmt.Sprintf("%d-%s", size[0], name))
			}
			p.Office.Kill()
			levelledBed(p)
			book := openBook(p)
			p.Go("#/thing/" + thalweg)
			p.Tap("Plan dams")
			p.WaitHeading("Plan dams")
			p.WaitText("0.4 m: 3 dams")
			p.WaitFor(`document.querySelector(".section svg .bed") !== null`)
			look("plan")
			phone.Eval[bool](p.Page, `(document.querySelector(".planlist").scrollIntoView(), true)`)
			look("plan-list")
			p.Tap("Adopt 3 dams")
			p.WaitSaid("3 dams proposed")
			look("plan-adopted")
			p.Tap("Undo") // all of it, and then it is adopted anew, with other dams
			p.WaitText("Adopt 3 dams")
			p.Tap("Adopt 3 dams")
			p.WaitSaid("3 dams proposed")
			p.Tap("Peg from the plan")
			p.WaitText("To peg the dams along Main gully.")
			look("peg-books")
			p.Tap("New level book")
			p.WaitText("Set the level up to peg the dams along Main gully")
			look("peg-new-book")
			p.Go("#/level/" + book + "/" + thalweg)
			p.WaitText("sight 101.500")
			wantKeyed(t, p, "the book on the way to pegging")
			look("peg-book")
			p.Tap("Peg the dams along Main gully")
			p.WaitText("Dam 1, planned at chainage 0.0, toe 100.189")
			wantKeyed(t, p, "the first planned dam")
			key(p, "1.29")
			p.WaitText("above the plan's toe")
			wantKeyed(t, p, "the first planned dam keyed")
			look("peg-first")
			enter(p)
			p.WaitSaid("Dam 1 pegged, toe at 100.210")
			p.WaitText("Dam 2, planned at chainage 11.3")
			key(p, "0.89")
			p.WaitText("Hold")
			wantKeyed(t, p, "the second planned dam keyed")
			look("peg-second")
			wantNothingBehindPad(t, p, "the second planned dam")
			wantKeyed(t, p, "the second planned dam, back from what stands above")
			phone.Eval[bool](p.Page, `(document.querySelector(".sheet").scrollTop = 0, true)`)
			look("peg-second-above")
			enter(p)
			p.WaitSaid("Dam 2 pegged, toe at 100.610")
			p.Office.Start()
			p.Go("#/status")
			p.Tap("Send now")
			p.WaitFor(`/\b0 not sent yet/.test(document.body.innerText.replace(/\s+/g, " "))`) // nor 10
			status, stages := map[string]any{}, map[any]int{}
			for _, e := range p.Office.Entries(property) {
				if dam := fieldsAtOffice(p, e.Feature); dam["kind"] == "check-dam" && !struckAtOffice(p, e.Feature) {
					status[e.Feature] = dam["status"]
				}
			}
			for _, stage := range status {
				stages[stage]++
			}
			if stages["pegged"] != 2 || stages["proposed"] != 1 || len(status) != 3 {
				t.Errorf("the office has dams %v, want each once: two pegged, one proposed", status)
			}
		})
	}
}

// levelledBed levels four places of the bed, closes on the gate post, and sights back on it: the
// line of sight is then 101.500.
func levelledBed(p *phone.Phone) {
	newBook(p)
	staffOn(p, "Gate post, mark")
	bookReading(p, "1.842")
	staffOn(p, "Main gully, bed")
	for i, reading := range []string{"1.655", "1.31", "0.902", "0.61"} {
		bookReading(p, reading)
		if i < 2 { // the pace is known after two
			bookReading(p, fmt.Sprint(10*i))
		} else {
			enter(p)
		}
	}
	p.Tap("Foresight")
	bookReading(p, "1.844")
	p.Tap("This is Gate post, 100.000")
	p.WaitFor(`document.querySelector(".standing").dataset.standing === "closed"`)
	bookReading(p, "1.5")
	p.WaitText("sight 101.500")
}

// The boxes, what a peg saves and its key stay in sight where whoa-boys are pegged from a plan, too.
func TestProposedWhoaBoysArePegged(t *testing.T) {
	t.Parallel()
	bank := func(name string, chainageM int) map[string]any {
		return map[string]any{"kind": "whoa-boy", "name": name, "status": "proposed", "track": track, "chainageM": chainageM, "chainageBasis": "from plan"}
	}
	p := enrolled(t, land(t,
		"0199a000-0000-7000-8000-000000000005", bank("Whoa-boy 1", 30),
		"0199a000-0000-7000-8000-000000000006", bank("Whoa-boy 2", 60)), phone.Size(320, 640))
	setUp(p)
	p.Tap("Peg out")
	p.At(phone.Fix{Lon: here.Lon, Lat: here.Lat - 0.002, AccuracyM: 4}) // on the track
	p.Tap("Whoa-boys down a track")
	p.WaitText("Ridge track")
	p.TapSelector(".numberbox:not(.large) input")
	key(p, "0")
	p.TapSelector(".numberbox.large input")
	key(p, "1")
	enter(p)
	p.WaitText("Whoa-boy 1, planned at chainage 30.0")
	p.TapSelector(".numberbox:not(.large) input")
	key(p, "32.5")
	p.TapSelector(".numberbox.large input")
	key(p, "2.25")
	p.WaitText("2.5 m farther down than planned")
	wantKeyed(t, p, "a planned whoa-boy")
	p.CheckFit("a planned whoa-boy")
	p.Screenshot("320-peg-whoa-boy")
	enter(p)
	p.WaitSaid("Whoa-boy 1 pegged")
	p.WaitText("Whoa-boy 2, planned at chainage 60.0")
}
