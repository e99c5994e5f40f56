package grazing

import (
	"fmt"
	"math"

	"headcut/model"
	"headcut/model/statistics"
)

// Quantity is a value and its plus-minus, one standard deviation in the value's own unit;
// negative when it is not known.
type Quantity struct{ Value, PlusMinus float64 }

// Bounds of what one paddock takes.
const (
	MaxLandTypes  = 50
	MaxQuadrats   = 1000 // of one land type, and as many looks
	MaxDrySamples = 100
)

// MostFeedKgHa is more than any grazed pasture carries: sown grass after a good wet has some
// 10,000 kg/ha (common practice, no source).
const MostFeedKgHa = 20_000

// Paddock is the land that is grazed together.
type Paddock struct {
	LandTypes []LandType
	DryPct    *Quantity // dry share of what quadrats weighed fresh, shared by all land types without their own
	EyePct    float64   // of the feed: one standard deviation by which the officer's eye reads all standards too high or low; negative when not known
}

// LandType is a part of a paddock that carries feed of one sort, by its cuts or its looks.
type LandType struct {
	Name   string
	AreaHa Quantity
	OutHa  float64   // of it gullied, scalded, fenced off or too far from water: no feed is counted there
	Cuts   *Cuts     // quadrats, cut and weighed
	Looks  []float64 // or kg/ha read off photo standards, one for each place looked at
}

// Cuts are quadrats of one frame, placed without choosing.
type Cuts struct {
	FrameM2 float64
	Grams   []float64 // of each, without its bag
	DryPct  *Quantity // dry share of what was weighed, 100 of dried cuts; nil: the paddock's
}

// DrySample is a part of a cut weighed on a plate before and after drying.
type DrySample struct {
	FreshG float64 `json:"freshG" unit:"g" doc:"plate and sample before drying"`
	DryG   float64 `json:"dryG" unit:"g" doc:"plate and sample dried until they lose no more"`
	PlateG float64 `json:"plateG" unit:"g" doc:"the plate or bag alone"`
}

// DryShare is the mean dry share of samples in per cent, (dry - plate) / (fresh - plate), with
// its standard error; one sample alone has none.
func DryShare(samples []DrySample) (Quantity, error) {
	if len(samples) < 1 || len(samples) > MaxDrySamples {
		return Quantity{}, &model.Problem{Path: "drySamples", Reason: fmt.Sprintf("has %d samples", len(samples)), Fix: fmt.Sprintf("give 1 to %d", MaxDrySamples)}
	}
	shares := make([]float64, len(samples))
	for i, s := range samples {
		if p := s.check(); p != nil {
			return Quantity{}, p.Within(fmt.Sprintf("drySamples[%d]", i))
		}
		shares[i] = 100 * (s.DryG - s.PlateG) / (s.FreshG - s.PlateG)
	}
	return meanOf(shares), nil
}

// meanOf is the mean with its standard error, by n - 1; one value alone has none.
func meanOf(values []float64) Quantity {
	n, sum := float64(len(values)), 0.0
	for _, v := range values {
		sum += v
	}
	mean, squares := sum/n, 0.0
	for _, v := range values {
		squares += (v - mean) * (v - mean)
	}
	if n == 1 {
		return Quantity{mean, -1}
	}
	return Quantity{mean, math.Sqrt(squares / (n - 1) / n)}
}

// LandFeed is the feed on offer of one land type.
type LandFeed struct {
	Name              string
	GrazedHa, KgHa    Quantity
	LowKgHa, HighKgHa *float64 // 95 % limits; nil when not known
	VariationPct      *float64 // standard deviation between quadrats or looks, of their mean; nil for one
	NeededFor10Pct    *int     // quadrats or looks that bring the limits of their mean within 10 % of it; nil for one
}

// sampled is what was cut or read, in kg/ha before the factor that all share.
func (l LandType) sampled() []float64 {
	if l.Cuts == nil {
		return l.Looks
	}
	// A gram on a square metre is 10 kg on a hectare.
	return model.Each(l.Cuts.Grams, func(g float64) float64 { return g * 10 / l.Cuts.FrameM2 })
}

// factor is what turns them into dry feed: the dry share of cuts, and 1 with the error of the eye
// where feed was judged by photos.
func (p Paddock) factor(l LandType) Quantity {
	switch {
	case l.Cuts == nil:
		return Quantity{1, model.ScaledPlusMinus(1.0/100, p.EyePct)}
	case l.Cuts.DryPct != nil:
		return l.Cuts.DryPct.of(1.0 / 100)
	}
	return p.DryPct.of(1.0 / 100)
}

func (q Quantity) of(factor float64) Quantity {
	return Quantity{factor * q.Value, model.ScaledPlusMinus(factor, q.PlusMinus)}
}

// feed is the feed of one land type. The error of the shared factor does not shrink with more
// quadrats: its limits are those of the normal distribution, the others Student's.
func (p Paddock) feed(l LandType) LandFeed {
	all, factor := l.sampled(), p.factor(l)
	mean := meanOf(all)
	out := LandFeed{Name: l.Name, GrazedHa: Quantity{l.AreaHa.Value - l.OutHa, l.AreaHa.PlusMinus}, KgHa: Quantity{mean.Value * factor.Value, -1}}
	if len(all) > 1 && mean.Value > 0 {
		n := float64(len(all))
		variation := mean.PlusMinus * math.Sqrt(n) / mean.Value
		needed := Needed(statistics.T95(len(all)-1), variation, 0.1)
		out.VariationPct, out.NeededFor10Pct = new(100*variation), &needed
	}
	mean = l.scatter(mean, factor)
	ofMean, ofFactor := model.ScaledPlusMinus(factor.Value, mean.PlusMinus), model.ScaledPlusMinus(mean.Value, factor.PlusMinus)
	if ofMean < 0 || ofFactor < 0 {
		return out
	}
	half := statistics.Z95 * ofFactor
	if ofMean > 0 {
		half = math.Sqrt(half*half + statistics.T95(len(all)-1)*ofMean*statistics.T95(len(all)-1)*ofMean)
	}
	out.KgHa.PlusMinus = math.Sqrt(ofMean*ofMean + ofFactor*ofFactor)
	out.LowKgHa, out.HighKgHa = new(max(0, out.KgHa.Value-half)), new(out.KgHa.Value+half)
	return out
}

// scatter is the mean with a plus-minus that can be believed. One look is a judgement of the
// whole land type: the eye's own error is all that is known of it. Quadrats or looks that are
// all alike, with nothing else that errs, were rounded: nobody knows by how much they err.
func (l LandType) scatter(mean, factor Quantity) Quantity {
	switch {
	case l.Cuts == nil && len(l.Looks) == 1:
		mean.PlusMinus = 0
	case mean.PlusMinus == 0 && factor.PlusMinus == 0:
		mean.PlusMinus = -1
	}
	return mean
}

// Needed is how many quadrats bring the half-width of the limits within a share of the mean:
//
//	n = t² s² / (d ȳ)²
//
// (Snedecor and Cochran 1967, as quoted in permits; looked up). variation is s/ȳ. t is that of
// the quadrats at hand, so that a few more may be asked for than it takes in the end.
func Needed(t, variation, share float64) int {
	n := t * variation / share
	return int(min(math.Ceil(n*n-1e-9), math.MaxInt32))
}
