package book

import (
	"fmt"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// The run's page, the gully's and the dams' lead to each other, and the gully's shows its
// long section, drawn from its level runs.
func TestRunGullyAndDamsLeadToEachOther(t *testing.T) {
	t.Parallel()
	for _, size := range [][2]int64{{390, 844}, {320, 640}} {
		t.Run(fmt.Sprint(size[0]), func(t *testing.T) {
			p := enrolled(t, land(t), phone.Size(size[0], size[1]))
			closedBook(p)
			p.Tap("Peg out")
			p.Tap("Check dams, toe by toe")
			p.At(here) // a position of a minute ago is none
			p.WaitText("in Main gully")
			p.TapSelector(".boxes .numberbox:last-child input")
			key(p, "2")
			p.TapSelector(".numberbox.large input")
			key(p, "1.3")
			p.WaitText("Level here 100.200")
			enter(p)
			p.WaitSaid("Dam 1 pegged")
			waitSent(t, p, 5, false)
			p.Go("#/thing/" + thalweg)
			p.WaitHeading("Main gully")
			p.WaitFor(`document.querySelector(".section svg .bed") !== null`)
			p.WaitFor(`document.querySelector(".section svg [data-dam]") !== null`)
			if dashed := phone.Eval[bool](p.Page, `document.querySelector(".section svg .bed").hasAttribute("stroke-dasharray")`); dashed {
				t.Error("the bed is drawn as not proven, want it proven by the closed part of the run")
			}
			p.CheckFit("gully with its long section")
			p.Screenshot(fmt.Sprintf("gully-%d", size[0]))
			phone.Eval[bool](p.Page, `(document.querySelector(".section").scrollIntoView(), true)`)
			p.Screenshot(fmt.Sprintf("gully-section-%d", size[0]))
			p.Tap("Dam 1")
			p.WaitHeading("Dam 1")
			p.CheckFit("dam with what belongs to it")
			phone.Eval[bool](p.Page, `(document.querySelector(".related").scrollIntoView(), true)`)
			p.Screenshot(fmt.Sprintf("dam-related-%d", size[0]))
			p.Tap("Run 1")
			p.WaitHeading("Run 1")
			p.Tap("Page (5)")
			p.CheckFit("run with what belongs to it")
			phone.Eval[bool](p.Page, `(document.querySelector(".related").scrollIntoView(), true)`)
			p.Screenshot(fmt.Sprintf("run-related-%d", size[0]))
			p.Tap("Main gully")
			p.WaitHeading("Main gully")
		})
	}
}
