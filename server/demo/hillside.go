package demo

import (
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
)

// hillside is the scald, ripped on the contour in seven lines of which one wanders off,
// and three windrows of which two have gaps in line down the slope.
func (d *days) hillside() {
	d.on(2025, time.March, 19)
	d.thing(Officer, "scald-1", "scald", "Ironbark scald", ring(at(-150, 70), at(-62, 196), at(-112, 238), at(-206, 112)), map[string]any{"coverPct": 4.0})
	b := &book{}
	b.from("BM1", benchmarkM, 98.304)
	for i := range 7 {
		id := fmt.Sprintf("rip-%d", i+1)
		line := contour(-150-7*float64(i), 78+5.2*float64(i), 120, 3)
		d.thing(Officer, id, "rip-line", fmt.Sprintf("Rip line %d", i+1), line,
			with(work(model.Built, "2024-11-25", "2025-03-18", d.today()), map[string]any{"depthM": 0.45, "toleranceM": 0.05}))
		d.levelPegs(b, id, 97.1-0.17*float64(i), 120, wander(i == 4))
	}
	for i := range 3 {
		id := fmt.Sprintf("windrow-%d", i+1)
		east, north := 300+26*float64(i), 40-18*float64(i)
		gapAt := []float64{30, 62, 62}[i]
		d.thing(Hand, id, "windrow", fmt.Sprintf("Windrow %d", i+1), gapped(east, north, 100, gapAt),
			with(work(model.Built, "2025-03-18", "2025-03-18", "2025-06-03"), map[string]any{"heightM": 0.7, "row": i + 1}))
		d.levelPegs(b, id, 99.2+0.6*float64(i), 100, wander(false))
	}
	b.reach("CP back", benchmarkM)
	d.thing(Officer, "run-hillside", "level-run", "Rip lines and windrows", nil, map[string]any{
		"rows": b.close("BM1", benchmarkM, -0.003), "instrument": "laser level", "perRootSetupMm": 5.0})
	for i, cover := range []float64{3, 5, 11} {
		d.thing(Hand, fmt.Sprintf("plot-%d", i+1), "cover-plot", fmt.Sprintf("Scald plot %d", i+1), at(-140-14*float64(i), 120+30*float64(i)), map[string]any{"coverPct": cover})
	}
}

// wander is how far a line's pegs stand off its contour at a part of its length: a
// centimetre or two, or, on the one that wanders, falling away along its last third.
func wander(off bool) func(part float64) float64 {
	return func(part float64) float64 {
		small := 0.012 * math.Sin(part*9)
		if off && part > 0.6 {
			return small - 0.55*(part-0.6)
		}
		return small
	}
}

func (d *days) levelPegs(b *book, line string, levelM, lengthM float64, off func(part float64) float64) {
	for s := 0.0; s <= lengthM; s += 20 {
		level := levelM + off(s/lengthM)
		b.reach("CP", level)
		b.sight(fmt.Sprintf("%s peg %.0f", line, s/20+1), line, model.PegSpot, s, level)
	}
}

// gapped is a windrow with an opening six metres wide.
func gapped(eastM, northM, lengthM, gapM float64) orb.MultiLineString {
	whole := contour(eastM, northM, lengthM, 2)
	first, rest := orb.LineString{whole[0]}, orb.LineString{}
	for i := 1; i < len(whole); i++ {
		from, to := float64(i-1)*20, float64(i)*20
		part := func(s float64) orb.Point {
			return geodesy.Destination(whole[i-1], geodesy.Azimuth(whole[i-1], whole[i]), s-from)
		}
		switch {
		case to <= gapM:
			first = append(first, whole[i])
		case from < gapM:
			first = append(first, part(gapM))
			rest = append(rest, part(gapM+6), whole[i])
		default:
			rest = append(rest, whole[i])
		}
	}
	return orb.MultiLineString{first, rest}
}

// fenceTrack is the track along the boundary, which runs down the slope, and its banks.
func (d *days) fenceTrack() {
	d.on(2025, time.April, 8)
	var line orb.LineString
	for s := 0.0; s <= 420; s += 60 {
		line = append(line, at(-240+0.45*s+6*math.Sin(s/70), -20-0.85*s))
	}
	d.thing(Officer, trackID, "track", "Boundary fence track", line, nil)
	d.thing(Officer, "boundary-fence", "fence", "Boundary fence", orb.LineString{at(-252, -16), at(-62, -376)}, nil)
	for i := range 5 {
		s := 50 + 80*float64(i)
		mid := geodesy.Destination(line[0], geodesy.Azimuth(line[0], line[len(line)-1]), s)
		bank := orb.LineString{geodesy.Destination(mid, 35, 5), geodesy.Destination(mid, 215, 7)}
		status := work(model.Built, "2025-03-18", "2025-04-02", d.today())
		if i == 4 {
			status = with(work(model.Failed, "2025-03-18", "2025-04-02", d.today()), map[string]any{"failedOn": "2026-05-13"})
		}
		d.thing(Hand, fmt.Sprintf("whoa-boy-%d", i+1), "whoa-boy", fmt.Sprintf("Whoa-boy %d", i+1), bank,
			with(status, map[string]any{"heightM": 0.45, "outletSide": "right", "track": trackID, "chainageM": s}))
	}
}
