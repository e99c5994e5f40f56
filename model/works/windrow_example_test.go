package works_test

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model/geodesy"
	"headcut/model/works"
)

// Geometry, case PV1 of testdata/reference/runoff.csv: a bank 0.3 m high with a face of 2 to 1
// on ground of 2 %.
func ExampleLip_Hold() {
	pond, err := works.Lip{HeightM: 0.3, FaceRunPerRise: 2, GroundSlopePct: 2}.Hold(math.Inf(1))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f m3 a metre, %.0f m up the slope\n", pond.M3PerM, pond.BackwaterM)
	// Output: 2.34 m3 a metre, 15 m up the slope
}

// Own example: two rows of 100 m, 40 m apart, on ground that falls to the south.
func ExampleWindrows_Stagger() {
	frame := geodesy.Frame{Origin: orb.Point{148.1, -25.2}}
	row := func(northM float64, gap works.RowGap) works.Windrow {
		return works.Windrow{Line: orb.LineString{frame.Position(0, northM), frame.Position(100, northM)}, Gaps: []works.RowGap{gap}}
	}
	w := works.Windrows{FallBearingDeg: 180, AccuracyM: 0.5, Rows: []works.Windrow{row(40, works.RowGap{FromM: 20, ToM: 26}), row(0, works.RowGap{FromM: 22, ToM: 30})}}
	s, err := w.Stagger(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	p := s.Pairs[0]
	fmt.Printf("%s: the upper gap meets a %s over %.1f ± %.1f m, %.0f m down\n", s.Verdict, p.Meets, p.OverlapM, p.OverlapPlusMinusM, p.DownM)
	// Output: lined up: the upper gap meets a gap over 4.0 ± 0.7 m, 40 m down
}
