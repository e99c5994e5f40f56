package levelling_test

import (
	"fmt"

	"headcut/model"
	"headcut/model/levelling"
)

func m(metres float64) *float64 { return &metres }

// The sheet of R. Rode, Collimation method to reduce a levelling field book page: six
// set-ups between two benchmarks, out by 42 mm, spread at 7 mm a set-up.
func ExampleReduce() {
	rows := []model.LevelRow{
		{Point: "BM1", BS: m(1.216), KnownLevelM: m(106.366)},
		{Point: "a", IS: m(0.025)},
		{Point: "b", IS: m(1.555)},
		{Point: "CP1", FS: m(2.508), BS: m(1.386)},
		{Point: "c", IS: m(3.625)},
		{Point: "CP2", FS: m(1.196), BS: m(1.235)},
		{Point: "CP3", FS: m(3.566), BS: m(3.655)},
		{Point: "CP4", FS: m(0.506), BS: m(2.126)},
		{Point: "e", IS: m(2.605)},
		{Point: "f", IS: m(1.094)},
		{Point: "CP5", FS: m(3.628), BS: m(1.125)},
		{Point: "h", IS: m(1.394)},
		{Point: "BM2", FS: m(0.484), KnownLevelM: m(105.263)},
	}
	run, err := levelling.Reduce(rows, levelling.Options{Adjust: levelling.AdjustAlways})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range run.Rows {
		fmt.Printf("%-3s %.3f %.3f\n", row.Point, row.LevelM, *row.AdjustedLevelM)
	}
	fmt.Printf("out by %.3f m, proven: %t\n", *run.MisclosureM, run.Proven())
	fmt.Println(run.Reasons[0])
	// Output:
	// BM1 106.366 106.366
	// a   107.557 107.564
	// b   106.027 106.034
	// CP1 105.074 105.081
	// c   102.835 102.849
	// CP2 105.264 105.278
	// CP3 102.933 102.954
	// CP4 106.082 106.110
	// e   105.603 105.638
	// f   107.114 107.149
	// CP5 104.580 104.615
	// h   104.311 104.353
	// BM2 105.221 105.263
	// out by -0.042 m, proven: false
	// Row 13 (BM2) is out by −42.0 mm; 12.2 mm is allowed.
}

// Civinnovate, levelling lesson 7: a lintel and a canopy, sighted with the staff upside
// down and booked negative.
func ExampleReduce_inverted() {
	run, err := levelling.Reduce([]model.LevelRow{
		{Point: "lintel", BS: m(-2.25), KnownLevelM: m(101.5)},
		{Point: "ground", FS: m(1.05), BS: m(1.35)},
		{Point: "canopy", FS: m(-4.10)},
	}, levelling.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("canopy at %.2f m\n", run.Rows[2].LevelM)
	// Output: canopy at 103.65 m
}

// Enggthought, direct contouring: the reading that finds the 8 m contour.
func ExampleSetOut() {
	set, err := levelling.SetOut(7.340+1.241, 8, levelling.StaffLengthM)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(set.ReadingM)
	now, err := set.At(0.620)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(now.Move)
	// Output:
	// 0.581
	// move to ground 0.039 m higher
}

// Own example: four pegs of a rip line, the third 9 cm up the slope.
func ExampleCheckContour() {
	c, err := levelling.CheckContour([]levelling.Peg{
		{ChainageM: 0, LevelM: 50}, {ChainageM: 10, LevelM: 50}, {ChainageM: 20, LevelM: 50.09}, {ChainageM: 30, LevelM: 50},
	}, levelling.ContourOptions{ToleranceM: 0.05, Basis: model.Levelled})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(c.Verdict, c.Reasons[0], "Water drains to", c.Drains)
	// Output: fails Peg 3 is 0.068 m high: move it downhill. Water drains to both ends
}
