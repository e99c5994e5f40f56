package book

import (
	"fmt"
	"testing"

	"headcut/model"
	"headcut/viewer/fieldtest/phone"
)

// A cross-section is booked with no signal, on one that was marked and on the thalweg at a chainage; its page draws it
// and says what it holds, and the office gets the rows with their offsets.
func TestCrossSectionsAreBookedAndDrawn(t *testing.T) {
	t.Parallel()
	const across = "01900000-0000-7000-8000-0000000000c5"
	for _, size := range [][2]int64{{390, 844}, {320, 640}} {
		t.Run(fmt.Sprint(size[0]), func(t *testing.T) {
			p := enrolled(t, land(t, across, map[string]any{"kind": "cross-section", "name": "Across 1", "thalweg": thalweg, "chainageM": 10, "chainageBasis": "taped",
				"geometry": line([2]float64{146.49995, -20.2499}, [2]float64{146.50005, -20.2499})}), phone.Size(size[0], size[1]))
			look := func(name string) {
				t.Helper()
				p.CheckFit(name)
				p.Screenshot(fmt.Sprintf("%d-across-%s", size[0], name))
			}
			p.Office.Kill()
			newBook(p)
			staffOn(p, "Gate post, mark")
			bookReading(p, "1.842")
			staffOn(p, "Across 1, section")
			key(p, "0.4")
			enter(p)
			p.WaitText("minus is left")
			look("offset")
			key(p, "-3")
			p.WaitText("left")
			look("left")
			enter(p)
			for _, row := range [][2]string{{"1.9", "-1"}, {"1.94", "0"}, {"1.9", "1"}, {"0.5", "2.5"}} {
				key(p, row[0])
				enter(p)
				key(p, row[1])
				enter(p)
			}
			p.Tap("Staff on Across 1, section")
			p.Tap("Main gully, bed")
			key(p, "1.2")
			enter(p)
			bookReading(p, "30")
			p.Tap("Staff on Main gully, bed")
			p.Tap("Main gully, section")
			key(p, "0.2")
			enter(p)
			p.WaitText("proposed: Book takes it")
			look("on-the-thalweg")
			enter(p)
			key(p, "-2")
			enter(p)
			key(p, "0.3")
			enter(p)
			bookReading(p, "2")
			p.Tap("Foresight")
			bookReading(p, "1.844")
			p.Tap("This is Gate post, 100.000")
			p.WaitFor(`document.querySelector(".standing").dataset.standing === "closed"`)
			p.Tap("Page (10)")
			p.WaitText("Across 1, 3 m left")
			look("page")
			p.Go("#/thing/" + across)
			p.WaitHeading("Across 1")
			p.WaitFor(`document.querySelector(".section svg .bed") !== null`)
			p.WaitText("Levelled in Run 1")
			p.WaitText("Up to the lower brink it is 1.44 m deep, 5.4 m wide")
			phone.Eval[bool](p.Page, `(document.querySelector(".section").scrollIntoView(), true)`)
			look("drawn")
			p.Go("#/thing/" + thalweg)
			p.WaitHeading("Main gully")
			p.WaitText("Cross-section at chainage 30.0 m")
			look("gully")
			p.Office.Start()
			p.Go("#/status")
			p.Tap("Send now")
			rows := waitSent(t, p, 10, false)
			if r := rows[1]; r.Spot != model.SectionSpot || r.Feature != across || r.ChainageM != nil || r.OffsetM == nil || *r.OffsetM != -3 {
				t.Errorf("the office has %+v, want a point 3 m to the left", r)
			}
			if r := rows[8]; r.Spot != model.SectionSpot || r.Feature != thalweg || r.ChainageM == nil || *r.ChainageM != 30 || r.OffsetM == nil || *r.OffsetM != 2 {
				t.Errorf("the office has %+v, want a point 2 m to the right at chainage 30", r)
			}
		})
	}
}
