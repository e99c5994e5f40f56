package works

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
	"headcut/model/modeltest"
)

func pct(v float64) *float64 { return &v }

func TestSowingOfTheCases(t *testing.T) {
	for _, c := range modeltest.Cases(t, "gully", "short_ton_acre_to_t_ha", "lb_acre_to_kg_ha", "broadcast_rate", "pls_to_bulk", "seed_for_area") {
		t.Run(c.ID, func(t *testing.T) {
			hectare := Sowing{Item: "grass seed", AreaM2: 10_000, AreaPlusMinusM2: -1}
			kg := func(s Sowing) float64 {
				q, err := s.Quantity()
				if err != nil {
					t.Fatal(err)
				}
				return q.Amount
			}
			switch c.Topic {
			case "short_ton_acre_to_t_ha":
				hectare.Rate, hectare.RateUnit = c.Number(t, "x"), "short ton/ac"
				c.Check(t, "t_ha", kg(hectare)/1000)
			case "lb_acre_to_kg_ha":
				hectare.Rate, hectare.RateUnit = c.Number(t, "x"), "lb/ac"
				c.Check(t, "kg_ha", kg(hectare))
			case "broadcast_rate":
				hectare.Rate, hectare.Method = c.Number(t, "drilled"), Broadcast
				c.Check(t, "broadcast", kg(hectare))
			case "pls_to_bulk":
				hectare.Rate, hectare.Method = c.Number(t, "pls"), Drilled
				hectare.PurityPct, hectare.GerminationPct = pct(100*c.Number(t, "purity")), pct(100*c.Number(t, "germination"))
				c.Check(t, "bulk", kg(hectare))
			case "seed_for_area":
				c.Check(t, "kg", kg(Sowing{Item: "grass seed", AreaM2: c.Number(t, "area_m2"), AreaPlusMinusM2: -1, Rate: c.Number(t, "rate_kg_ha")}))
			}
		})
	}
}

func TestSowingRefuses(t *testing.T) {
	good := Sowing{Item: "grass seed", AreaM2: 400, Rate: 6, Method: Broadcast, PurityPct: pct(90), GerminationPct: pct(50)}
	for _, c := range []struct {
		name string
		edit func(*Sowing)
		path string
	}{
		{"no-name", func(s *Sowing) { s.Item = "" }, "item"},
		{"no-area", func(s *Sowing) { s.AreaM2 = 0 }, "areaM2"},
		{"area-not-a-number", func(s *Sowing) { s.AreaM2 = math.NaN() }, "areaM2"},
		{"area-less-sure-than-large", func(s *Sowing) { s.AreaPlusMinusM2 = 401 }, "areaPlusMinusM2"},
		{"grams", func(s *Sowing) { s.Rate = 6000 }, "rate"},
		{"no-rate", func(s *Sowing) { s.Rate = 0 }, "rate"},
		{"unit", func(s *Sowing) { s.RateUnit = "bags" }, "rateUnit"},
		{"method", func(s *Sowing) { s.Method = "flown" }, "method"},
		{"purity-as-a-share", func(s *Sowing) { s.PurityPct = pct(0.9) }, "purityPct"},
		{"germination-above-all", func(s *Sowing) { s.GerminationPct = pct(101) }, "germinationPct"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := good
			c.edit(&s)
			q, err := s.Quantity()
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path {
				t.Errorf("Quantity(%+v) = %+v, %v; want a problem at %q", s, q, err, c.path)
			}
		})
	}
}

// invented rates, of no currency, for arithmetic alone.
func testRates() Rates {
	return Rates{{"rock", "m3", pct(40), pct(1.5)}, {"post", "each", pct(12), nil}, {"ripping", "km", nil, pct(0.5)}, {"grass seed", "kg", pct(30), pct(0)}}
}

func TestBill(t *testing.T) {
	b, err := NewBill([]WorkToBuild{
		{Name: "dam 1", Treatment: "check-dam", Property: "north", Count: 3, Takes: []Quantity{{Item: "rock", Unit: "m3", Amount: 2, PlusMinus: 0.2}, {Item: "post", Unit: "each", Amount: 10, PlusMinus: 0}}},
		{Name: "scald", Treatment: "rip-line", Property: "north", Takes: []Quantity{{Item: "ripping", Unit: "m", Amount: 2400, PlusMinus: 30}}},
		{Name: "dam 9", Treatment: "check-dam", Property: "south", Takes: []Quantity{{Item: "rock", Unit: "m3", Amount: 4, PlusMinus: 0.3}, {Item: "netting", Unit: "m2", Amount: 8, PlusMinus: -1}}},
	}, testRates())
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Rows) != 5 {
		t.Fatalf("%d rows, want 5: %+v", len(b.Rows), b.Rows)
	}
	if r := b.Rows[0]; *r.Cost != 240 || *r.Hours != 9 || r.Amount != 6 || math.Abs(r.CostPlusMinus-24) > 1e-9 || r.Note != "" {
		t.Errorf("rock of three dams = %+v, want 6 m3, 240 ± 24 and 9 h", r)
	}
	if r := b.Rows[1]; *r.Cost != 360 || r.Hours != nil || r.Note == "" {
		t.Errorf("posts = %+v, want 360 and no hours, said so", r)
	}
	if r := b.Rows[2]; r.Cost != nil || math.Abs(*r.Hours-1.2) > 1e-12 || math.Abs(r.HoursPlusMinus-0.015) > 1e-12 {
		t.Errorf("2400 m of ripping at half an hour a km = %+v, want 1.2 h and no cost", r)
	}
	if r := b.Rows[4]; r.Cost != nil || r.Hours != nil || r.Note == "" || r.CostPlusMinus != -1 {
		t.Errorf("netting without a rate = %+v, want neither cost nor hours, said so", r)
	}
	if s := b.Total; s.Cost != 760 || math.Abs(s.Hours-16.2) > 1e-9 || s.CostMissing != 2 || s.HoursMissing != 2 {
		t.Errorf("total = %+v, want 760 and 16.2 h with two rows lacking each", s)
	}
	if want := math.Hypot(24, 12); math.Abs(b.Total.CostPlusMinus-want) > 1e-9 {
		t.Errorf("total ± %v, want the dams' 24 and 12 together, %v", b.Total.CostPlusMinus, want)
	}
	if len(b.ByTreatment) != 2 || b.ByTreatment[0].Of != "check-dam" || b.ByTreatment[0].Cost != 760 || b.ByTreatment[1].CostMissing != 1 {
		t.Errorf("by treatment %+v", b.ByTreatment)
	}
	if len(b.ByProperty) != 2 || b.ByProperty[1].Of != "south" || b.ByProperty[1].Cost != 160 || b.ByProperty[1].HoursMissing != 1 {
		t.Errorf("by property %+v", b.ByProperty)
	}
}

func TestRockIsPaidAsRock(t *testing.T) {
	items := []Quantity{{Item: "rock", Unit: "m3", Amount: 2, PlusMinus: 0}, {Item: "rock in key", Unit: "m3", Amount: 3, PlusMinus: 0}, {Item: "rock wasted", Unit: "m3", Amount: 1, PlusMinus: 0}, {Item: "key dug", Unit: "m3", Amount: 3, PlusMinus: 0}}
	rates := Rates{{"rock", "m3", pct(40), nil}, {"rock wasted", "m3", pct(10), nil}}
	rows, err := rates.Price(items)
	if err != nil || *rows[0].Cost != 80 || *rows[1].Cost != 120 || *rows[2].Cost != 10 || rows[3].Cost != nil {
		t.Errorf("Price() = %+v, %v; want 80, 120, 10 by its own rate, and none", rows, err)
	}
	if rows, err := (Rates{}).Price(items); err != nil || rows[1].Cost != nil || rows[1].Note == "" {
		t.Errorf("Price() without rates = %+v, %v", rows, err)
	}
}

// TestRockIsPaidByTheTonne where its bulk density is known; else the refusal asks for it.
func TestRockIsPaidByTheTonne(t *testing.T) {
	d := cased()
	d.BulkTonnesPerM3, d.AccuracyM = 1.6, 0.02
	q := quantities(t, d)
	rates := Rates{{"rock", "t", pct(30), nil}}
	rows, err := rates.Price(q.Items())
	if err != nil {
		t.Fatal(err)
	}
	sum, plusMinus := 0.0, 0.0
	for _, r := range rows {
		if strings.HasPrefix(r.Item, "rock") {
			sum, plusMinus = sum+*r.Cost, plusMinus+r.CostPlusMinus
		}
	}
	if math.Abs(sum-30*q.RockTonnes) > 1e-9 || !(plusMinus > 0) {
		t.Errorf("rock of %v t at 30 for each comes to %v ± %v", q.RockTonnes, sum, plusMinus)
	}
	d.BulkTonnesPerM3 = 0
	_, err = rates.Price(quantities(t, d).Items())
	if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != "rates[0].unit" || !strings.Contains(p.Fix, "bulk density") {
		t.Errorf("by the tonne without a density: %v", err)
	}
}

func TestBillRefuses(t *testing.T) {
	rock := []Quantity{{Item: "rock", Unit: "m3", Amount: 2, PlusMinus: 0.2}}
	work := []WorkToBuild{{Name: "a", Treatment: "check-dam", Takes: rock}}
	for _, c := range []struct {
		name  string
		works []WorkToBuild
		rates Rates
		path  string
	}{
		{"no-works", nil, nil, "works"},
		{"treatment", []WorkToBuild{{Treatment: "dam", Takes: rock}}, nil, "works[0].treatment"},
		{"count", []WorkToBuild{{Treatment: "fence", Count: -1, Takes: rock}}, nil, "works[0].count"},
		{"takes-nothing", []WorkToBuild{work[0], {Treatment: "fence"}}, nil, "works[1].items"},
		{"unit", []WorkToBuild{{Treatment: "fence", Takes: []Quantity{{Item: "wire", Unit: "rolls", Amount: 2, PlusMinus: 0}}}}, nil, "works[0].items[0].unit"},
		{"less-than-nothing", []WorkToBuild{{Treatment: "fence", Takes: []Quantity{{Item: "wire", Unit: "m", Amount: -2, PlusMinus: 0}}}}, nil, "works[0].items[0].quantity"},
		{"not-a-number", []WorkToBuild{{Treatment: "fence", Takes: []Quantity{{Item: "wire", Unit: "m", Amount: math.NaN(), PlusMinus: 0}}}}, nil, "works[0].items[0].quantity"},
		{"endless-plus-minus", []WorkToBuild{{Treatment: "fence", Takes: []Quantity{{Item: "wire", Unit: "m", Amount: 2, PlusMinus: math.Inf(1)}}}}, nil, "works[0].items[0].plusMinus"},
		{"rate-of-another-unit", work, Rates{{"rock", "m2", pct(1), nil}}, "rates[0].unit"},
		{"density-of-a-length", []WorkToBuild{{Treatment: "fence", Takes: []Quantity{{Item: "wire", Unit: "m", Amount: 2, TonnesPerM3: 1.6}}}}, nil, "works[0].items[0].bulkDensityTM3"},
		{"density-in-kilograms", []WorkToBuild{{Treatment: "fence", Takes: []Quantity{{Item: "rock", Unit: "m3", Amount: 2, TonnesPerM3: 1600}}}}, nil, "works[0].items[0].bulkDensityTM3"},
		{"rate-twice", work, Rates{{"rock", "m3", pct(1), nil}, {"rock", "m3", pct(2), nil}}, "rates[1].item"},
		{"rate-of-nothing", work, Rates{{"rock", "m3", nil, nil}}, "rates[0].costPerUnit"},
		{"rate-below-nought", work, Rates{{"rock", "m3", nil, pct(-1)}}, "rates[0].hoursPerUnit"},
		{"rate-without-a-name", work, Rates{{"", "m3", pct(1), nil}}, "rates[0].item"},
		{"rate-without-a-unit", work, Rates{{"rock", "", pct(1), nil}}, "rates[0].unit"},
		{"too-many-rates", work, make(Rates, MaxRates+1), "rates"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, err := NewBill(c.works, c.rates)
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != c.path || p.Reason == "" {
				t.Errorf("NewBill() = %+v, %v; want a problem at %q", b, err, c.path)
			}
		})
	}
}

// TestBillLaws: the order of works changes no sum, n alike are one n times, and groups add
// up to the whole.
func TestBillLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all []WorkToBuild
		for range rapid.IntRange(1, 8).Draw(t, "works") {
			w := WorkToBuild{Treatment: rapid.SampledFrom(Treatments).Draw(t, "treatment"), Property: rapid.SampledFrom([]string{"", "north"}).Draw(t, "property"), Count: rapid.IntRange(0, 3).Draw(t, "count")}
			for range rapid.IntRange(1, 3).Draw(t, "takes") {
				q := rapid.SampledFrom([]Quantity{{Item: "rock", Unit: "m3", Amount: 0, PlusMinus: 0}, {Item: "post", Unit: "each", Amount: 0, PlusMinus: 0}, {Item: "ripping", Unit: "m", Amount: 0, PlusMinus: 0}, {Item: "hay", Unit: "t", Amount: 0, PlusMinus: 0}}).Draw(t, "item")
				q.Amount, q.PlusMinus = rapid.Float64Range(0, 100).Draw(t, "amount"), rapid.Float64Range(-1, 5).Draw(t, "plus-minus")
				w.Takes = append(w.Takes, q)
			}
			all = append(all, w)
		}
		b, err := NewBill(all, testRates())
		if err != nil {
			t.Fatal(err)
		}
		for _, sums := range [][]Sum{b.ByTreatment, b.ByProperty} {
			var whole Sum
			for _, s := range sums {
				whole.add(s)
			}
			if math.Abs(whole.Cost-b.Total.Cost) > 1e-9 || math.Abs(whole.Hours-b.Total.Hours) > 1e-9 || whole.CostMissing != b.Total.CostMissing || math.Abs(whole.CostPlusMinus-b.Total.CostPlusMinus) > 1e-9 {
				t.Fatalf("groups %+v add up to %+v, the whole is %+v", sums, whole, b.Total)
			}
		}
		for i := range all {
			j := rapid.IntRange(0, i).Draw(t, "swap")
			all[i], all[j] = all[j], all[i]
		}
		again, err := NewBill(all, testRates())
		if err != nil || math.Abs(again.Total.Cost-b.Total.Cost) > 1e-9 || again.Total.HoursMissing != b.Total.HoursMissing {
			t.Fatalf("in another order %+v, %v; want %+v", again.Total, err, b.Total)
		}
	})
}

// TestBillSpread draws the quantities again: those of one work by one error, since the same
// tape made them, works apart; and sown areas.
func TestBillSpread(t *testing.T) {
	sowing := Sowing{Item: "grass seed", AreaM2: 4000, AreaPlusMinusM2: 120, Rate: 6, Method: Broadcast, PurityPct: pct(90)}
	seed, err := sowing.Quantity()
	if err != nil {
		t.Fatal(err)
	}
	all := []WorkToBuild{
		{Treatment: "check-dam", Count: 3, Takes: []Quantity{{Item: "rock", Unit: "m3", Amount: 2, PlusMinus: 0.2}, {Item: "post", Unit: "each", Amount: 10, PlusMinus: 0}}},
		{Treatment: "check-dam", Takes: []Quantity{{Item: "rock", Unit: "m3", Amount: 4, PlusMinus: 0.3}}},
		{Treatment: "revegetation", Takes: []Quantity{seed}},
	}
	b, err := NewBill(all, testRates())
	if err != nil {
		t.Fatal(err)
	}
	got := spreadOf(10_000, func(r *rand.Rand) []float64 {
		drawn := make([]WorkToBuild, len(all))
		for i, w := range all {
			drawn[i] = w
			drawn[i].Takes = nil
			off := r.NormFloat64()
			for _, q := range w.Takes {
				q.Amount += off * q.PlusMinus
				if q.Item == seed.Item {
					s := sowing
					s.AreaM2 += off * s.AreaPlusMinusM2
					q, _ = s.Quantity()
				}
				drawn[i].Takes = append(drawn[i].Takes, q)
			}
		}
		one, err := NewBill(drawn, testRates())
		if err != nil {
			t.Fatal(err)
		}
		return []float64{one.Total.Cost, one.ByTreatment[0].Cost, one.ByTreatment[1].Cost, one.Total.Hours}
	})
	for i, stated := range []float64{b.Total.CostPlusMinus, b.ByTreatment[0].CostPlusMinus, b.ByTreatment[1].CostPlusMinus, b.Total.HoursPlusMinus} {
		if !(math.Abs(got[i]/stated-1) <= 0.05) {
			t.Errorf("sum %d: stated ± %v, 10,000 draws spread by %v", i, stated, got[i])
		}
	}
}

// ExampleSowing_Quantity broadcasts the seed of RA05 over the battered head of BT05: 6 kg/ha
// drilled is 12 kg/ha broadcast (Colorado permit text; Farmers Weekly SA for the rate).
func ExampleSowing_Quantity() {
	q, _ := Sowing{Item: "finger grass", AreaM2: 53.0144, Rate: 6, Method: Broadcast}.Quantity()
	fmt.Printf("%.6f %s of %s\n", q.Amount, q.Unit, q.Item)
	// Output: 0.063617 kg of finger grass
}

func FuzzBill(f *testing.F) {
	f.Add("rock", "m3", 2.0, 0.2, "m3", 40.0, 1.5, 3)
	f.Add("ripping", "m", 2400.0, 30.0, "km", 80.0, 0.5, 1)
	f.Add("", "rolls", math.NaN(), math.Inf(-1), "each", -1.0, 1e300, -2)
	f.Fuzz(func(t *testing.T, item, unit string, amount, plusMinus float64, rateUnit string, cost, hours float64, count int) {
		all := []WorkToBuild{{Treatment: "other", Count: count, Takes: []Quantity{{Item: item, Unit: unit, Amount: amount, PlusMinus: plusMinus}}}}
		b, err := NewBill(all, Rates{{item, rateUnit, &cost, &hours}})
		if err != nil {
			if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path == "" || p.Reason == "" {
				t.Fatalf("NewBill(%+v) = %v, want a problem that names its place", all, err)
			}
			return
		}
		for _, v := range []float64{b.Total.Cost, b.Total.Hours, b.Total.CostPlusMinus, b.Total.HoursPlusMinus} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("NewBill(%+v) = %+v", all, b.Total)
			}
		}
	})
}
