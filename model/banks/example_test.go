package banks_test

import (
	"fmt"

	"headcut/model/banks"
	"headcut/model/runoff"
)

// NPTEL, Soil and Water Conservation Engineering, lecture 13, first problem: land of 4.5 %.
func ExampleRule_Space() {
	rule, _ := banks.RuleNamed("ramser")
	s, err := rule.Space(runoff.Unsure(4.5))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f m of fall, %.1f m apart\n", s.VerticalM.Value, s.HorizontalM.Value)
	// Output: 1.05 m of fall, 23.3 m apart
}

// Four pegs down a bank of 1 in 500 that steepens to 1 in 250: the staff's readings grow.
func ExampleSetReadings() {
	pegs, err := banks.Line{Reaches: []banks.Reach{{LengthM: 50, GradePct: 0.2}, {LengthM: 25, GradePct: 0.4}}, OutletLevelM: 100}.Pegs(25, banks.Top)
	if err == nil {
		err = banks.SetReadings(pegs, 101.5, 5)
	}
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range pegs {
		fmt.Printf("%2.0f m  %.3f\n", p.ChainageM, *p.ReadingM)
	}
	// Output:
	//  0 m  1.300
	// 25 m  1.350
	// 50 m  1.400
	// 75 m  1.500
}
