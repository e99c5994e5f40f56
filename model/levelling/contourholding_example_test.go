package levelling_test

import (
	"fmt"

	"headcut/model"
	"headcut/model/levelling"
)

// Geometry, case PV4 of testdata/reference/runoff.csv: a furrow with a lip of 50 mm that
// falls by 0.2 % holds water over 25 m.
func ExampleLip() {
	c, err := levelling.CheckContour([]levelling.Peg{{ChainageM: 0, LevelM: 50}, {ChainageM: 100, LevelM: 49.8}},
		levelling.ContourOptions{ToleranceM: 0.05, Basis: model.Levelled, Lip: levelling.Lip{HeightM: 0.05}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("holds over %.0f m, stops needed at %.0f m\n", c.Holding.LengthM, c.Holding.StopsAtM)
	fmt.Println(c.Reaches[0].Text())
	// Output:
	// holds over 25 m, stops needed at [25 50 75] m
	// From 0.0 to 25.0 m the line runs up to 0.100 m above the contour (peg 1): water runs towards the end, to peg 2.
}
