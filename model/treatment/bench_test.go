package treatment

import "testing"

func BenchmarkChoose(b *testing.B) {
	s := at(GullyHead, map[Field]float64{DepthM: 1.6, HeadDepthM: 1.6, WallRunPerRise: 0.2, CatchmentHa: 6, BedSlopePct: 4},
		map[Field]bool{Active: true, StockOut: true, StableOutlet: true, RockAtHand: true})
	for b.Loop() {
		if _, err := Choose(s); err != nil {
			b.Fatal(err)
		}
	}
}
