package book

import (
	"fmt"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// A dam's notch and its rock are worked out in the gully with no signal, by the program itself: 0.4 m³/s over
// 1.5 m of loose rock stand (0.4/(1.65 × 1.5))^(2/3) = 0.297 m deep, and 0.15 m of freeboard above them. The dam is then 0.847 m high
// at its ends: 2 × 0.847 × (0.5 + 2.5 × 0.847) = 4.43 m³ less 1.5 × 0.447 × (0.5 + 2.5 × 0.447) = 1.08 m³ of notch,
// and an apron of 0.51 m³.
func TestNotchAndRockOffline(t *testing.T) {
	t.Parallel()
	for _, size := range [][2]int64{{390, 844}, {320, 640}} {
		t.Run(fmt.Sprint(size[0]), func(t *testing.T) {
			const dam = "0199a000-0000-7000-8000-00000000000d"
			p := enrolled(t, planted(t, dam, map[string]any{"kind": "check-dam", "name": "Dam 4", "status": "built", "material": "loose rock", "crestHeightM": 0.4, "crestHeightBasis": "taped"}), phone.Size(size[0], size[1]))
			p.Office.Kill()
			p.Go("#/thing/" + dam)
			p.Tap("Notch and rock")
			p.WaitText("Crest 0.40 m above the bed, of loose rock.")
			p.CheckFit("an empty notch")
			for _, box := range []struct{ label, text string }{{"Peak flow", "0.4"}, {"Length of the notch", "1.5"}, {"Width of the gully's bottom", "2"}, {"Lower end above the bottom of the notch", "0.4"},
				{"Breadth of the dam at its ends", "0.5"}, {"Upstream face, 1 in", "2"}, {"Downstream face, 1 in", "3"}} {
				p.Type(box.label, box.text)
			}
			p.WaitText("Water stands 0.30 m deep in the notch")
			p.WaitText("Both ends must stand at least 0.45 m above the bottom of the notch")
			p.WaitText("The lower end is 0.05 m too low")
			p.WaitText("Rock to cart: 3.9 m³")
			p.CheckFit("a notch and its rock")
			p.Screenshot(fmt.Sprintf("notch-%d", size[0]))
			phone.Eval[bool](p.Page, `(document.querySelector("h2").scrollIntoView(), true)`)
			p.Screenshot(fmt.Sprintf("rock-%d", size[0]))
		})
	}
}
