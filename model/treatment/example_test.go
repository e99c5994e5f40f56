package treatment_test

import (
	"fmt"

	"headcut/model/treatment"
)

// The black-soil gullies of the Burdekin trial, 0.47 m deep in the mean and with steep
// walls: neither screen would have left them to grass alone, and grass did not hold them.
func ExampleScreen_Find() {
	site := treatment.Site{What: treatment.Gully}
	site.Measure(treatment.DepthM, 0.47, 0.02)
	site.Measure(treatment.WallRunPerRise, 0.2, 0.1)
	site.Answer(treatment.StockOut, true)
	for _, screen := range treatment.Screens {
		whole, findings, err := screen.Find(site)
		fmt.Printf("%s: %s, %v\n", screen.Name, whole, err)
		for _, f := range findings[:2] {
			fmt.Printf("  %s: %s\n", f.Condition, f.Truth)
		}
	}
	// Output:
	// common-practice: not met, <nil>
	//   depth at most 0.5 m: met
	//   run of the wall per metre of height at least 1: not met
	// judgement: not met, <nil>
	//   depth below 1 m: met
	//   run of the wall per metre of height above 1: not met
}

// The first case of FAO Conservation Guide 13/2, section 3.1: a gully of 0.5 by 0.5 m at
// 8 % can be packed with brush.
func ExampleChoose() {
	site := treatment.Site{What: treatment.Gully}
	site.Measure(treatment.DepthM, 0.5, -1)
	site.Measure(treatment.WidthM, 0.5, -1)
	site.Measure(treatment.BedSlopePct, 8, -1)
	site.Answer(treatment.TimberAtHand, true)
	site.Answer(treatment.Humid, false)
	outcomes, err := treatment.Choose(site)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, o := range outcomes {
		switch o.Verdict {
		case treatment.Fitting:
			fmt.Println(o.Rank, o.Treatment, "by", o.Fits[0].ID)
		case treatment.Undecided:
			fmt.Println("-", o.Treatment, "for want of", o.Lacks[0].Field)
		}
	}
	// Output:
	// 1 exclosure by stock-helps
	// 2 revegetation by sow-helps
	// 3 brush-fill by brush-fill
	// 4 check-dam of brushwood by dam-silt
	// 5 check-dam of loose rock by dam-silt
	// 6 check-dam of netting and posts by dam-silt
	// - whoa-boy for want of trackWater
	// - diversion-bank for want of catchmentHa
	// - gypsum for want of dispersive
	// - batter for want of wallRunPerRise
	// - earth-plug for want of dispersive
	// - check-dam of hay bales for want of catchmentHa
	// - engineer for want of catchmentHa
}
