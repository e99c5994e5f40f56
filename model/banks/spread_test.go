package banks

import (
	"math"
	"math/rand/v2"
	"testing"

	"headcut/model"
	"headcut/model/runoff"
)

const draws = 10_000

// scatters compares each stated plus-minus with the standard deviation of that value over 10,000
// draws, which is sure to 0.7 %.
func scatters(t *testing.T, names []string, stated []float64, draw func() []float64) {
	t.Helper()
	first := draw()
	sums, squares := make([]float64, len(names)), make([]float64, len(names))
	for range draws {
		for i, v := range draw() {
			d := v - first[i]
			sums[i], squares[i] = sums[i]+d, squares[i]+d*d
		}
	}
	for i, name := range names {
		seen := math.Sqrt(squares[i]/draws - sums[i]*sums[i]/draws/draws)
		if !(math.Abs(stated[i]-seen) <= 0.05*seen) {
			t.Errorf("%s: stated ± %v, it scatters by %v", name, stated[i], seen)
		}
	}
}

func drawn(r *rand.Rand, q runoff.Quantity) runoff.Quantity {
	return exactly(q.Value + q.PlusMinus*r.NormFloat64())
}

func TestSpacingSpread(t *testing.T) {
	r := rand.New(rand.NewPCG(30, 11))
	slope := runoff.Quantity{Value: 4, PlusMinus: 0.15}
	for _, name := range []string{"ramser", "hillside-ditch"} { // a line, and rows
		rule := named(t, name)
		s, err := rule.Space(slope)
		if err != nil {
			t.Fatal(err)
		}
		scatters(t, []string{name + " verticalM", name + " horizontalM"}, []float64{s.VerticalM.PlusMinus, s.HorizontalM.PlusMinus}, func() []float64 {
			again := spaced(t, rule, drawn(r, slope).Value)
			return []float64{again.VerticalM.Value, again.HorizontalM.Value}
		})
	}
}

// TestLayoutSpread draws the slope of the land, the roughness, and the peak or the depth.
func TestLayoutSpread(t *testing.T) {
	slope, n := runoff.Quantity{Value: 4, PlusMinus: 0.2}, runoff.Quantity{Value: 0.04, PlusMinus: 0.003}
	flow, depth := runoff.Quantity{Value: 0.4, PlusMinus: 0.04}, runoff.Quantity{Value: 0.35, PlusMinus: 0.01}
	for name, byDepth := range map[string]bool{"by-peak": false, "by-depth": true} {
		t.Run(name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(20261130, 1))
			lay := func(draw func(runoff.Quantity) runoff.Quantity) []runoff.Quantity {
				l := sound()
				l.Channel.BedWidthM = 0.5
				l.Channel.UphillRunPerRise, l.Channel.ManningN = Uphill(draw(slope)), draw(n)
				if l.FlowM3S = new(draw(flow)); byDepth {
					l.FlowM3S, l.DepthM = nil, new(draw(depth))
				}
				p := laid(t, l)
				return []runoff.Quantity{p.Heights.FlowDepthM, p.Heights.SettledHeightM, p.Heights.BuiltHeightM, p.EarthM3, p.CapacityM3S}
			}
			value := func(q runoff.Quantity) float64 { return q.Value }
			stated := model.Each(lay(func(q runoff.Quantity) runoff.Quantity { return q }), func(q runoff.Quantity) float64 { return q.PlusMinus })
			scatters(t, []string{"flowDepthM", "settledHeightM", "builtHeightM", "earthM3", "capacityM3S"}, stated, func() []float64 {
				return model.Each(lay(func(q runoff.Quantity) runoff.Quantity { return drawn(r, q) }), value)
			})
		})
	}
}

// TestCheckSpread levels the bank again and again.
func TestCheckSpread(t *testing.T) {
	r := rand.New(rand.NewPCG(20261130, 2))
	const levelM = 0.004
	base := Check{Pegs: crested(found(0, -4, 8, 12), 70, 74, 53, 82), OutletAt: Outfall, Reaches: []Reach{{60, 0.2}}, Basis: model.Levelled, PlusMinusM: levelM,
		Channel: &Channel{BankRunPerRise: 3, UphillRunPerRise: Uphill(exactly(4)), ManningN: runoff.Quantity{Value: 0.04, PlusMinus: 0.002}}}
	again := func() Check {
		c, channel := base, *base.Channel
		c.Pegs = make([]Found, len(base.Pegs))
		for i, p := range base.Pegs {
			p.LevelM += levelM * r.NormFloat64()
			p.CrestLevelM = new(*p.CrestLevelM + levelM*r.NormFloat64())
			c.Pegs[i] = p
		}
		channel.ManningN = drawn(r, channel.ManningN)
		c.Channel = &channel
		return c
	}
	figures := func(c Check) (values, plusMinus []float64) {
		r := checked(t, c)
		off, _ := model.Find(r.Offs, func(o Off) bool { return o.Peg == 3 })
		n, pool, limit := r.Lengths[1], r.Pools[0], r.Limit
		return []float64{n.GradePct, r.MeanGradePct.Value, off.OffM, pool.DepthM, limit.HeightM.Value, limit.Flow.FlowM3S.Value},
			[]float64{n.GradePlusMinusPct, r.MeanGradePct.PlusMinus, off.PlusMinus, pool.PlusMinus, limit.HeightM.PlusMinus, limit.Flow.FlowM3S.PlusMinus}
	}
	_, stated := figures(base)
	scatters(t, []string{"gradePct", "meanGradePct", "offM", "depthM", "heightM", "limit flowM3S"}, stated, func() []float64 {
		values, _ := figures(again())
		return values
	})
}
