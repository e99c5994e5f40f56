package compute

import (
	"encoding/json"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"

	"headcut/model/modeltest"
)

// rows writes n values, each made by one, as a JSON list.
func rows(n int, one func(i int) string) string {
	all := make([]string, n)
	for i := range all {
		all[i] = one(i)
	}
	return "[" + strings.Join(all, ",") + "]"
}

// day is the i-th day after 1 January 1900, as far as months of 28 days go.
func day(i int) string { return fmt.Sprintf("%04d-%02d-%02d", 1900+i/336, 1+i/28%12, 1+i%28) }

// padded is a golden input of a computation that takes no list, made long by white space.
func padded(t *testing.T, name string) func(n int) string {
	for _, g := range modeltest.Goldens(t, name) {
		if g.Input != nil && g.Answer != nil {
			return func(n int) string { return string(g.In()) + strings.Repeat(" ", 100*n) }
		}
	}
	t.Fatalf("%s answers no golden", name)
	return nil
}

// profile is a bed or track of n points that rises, with chainages or with positions.
func profile(n int, byPosition bool) string {
	return rows(n, func(i int) string {
		at := 90_000 * float64(i) / float64(n)
		if byPosition {
			return fmt.Sprintf(`{"position":[%.7f,-20],"levelM":%.4f}`, 146+at/1e6, 100+at/200)
		}
		return fmt.Sprintf(`{"chainageM":%.3f,"levelM":%.4f}`, at, 100+at/100)
	})
}

// worst is for each computation with lists what makes it work hardest, by n of its elements.
var worst = map[string][]func(n int) string{
	"line": {func(n int) string {
		return `{"accuracyM":3,"positions":` + rows(n, func(i int) string { return fmt.Sprintf("[%d,%.6f]", 10*(i%2), 1e-4*float64(i%7000)) }) + `}`
	}},
	"area": {func(n int) string { // wanders
		return `{"rings":[` + rows(n+1, func(i int) string {
			sin, cos := math.Sincos(2 * math.Pi * float64(i%n) / float64(n))
			r := 0.01 * (1 + 0.1*math.Sin(float64(i%n)/3))
			return fmt.Sprintf("[%.9f,%.9f]", 148+r*cos, -20+r*sin)
		}) + `]}`
	}, func(n int) string { // shuttles, every box over every other
		return `{"rings":[` + rows(n, func(i int) string {
			x := float64(i%(n-1))*1e-6 + float64(i%(n-1)%2)
			return fmt.Sprintf("[%.9f,%.9f]", x, x)
		}) + `]}`
	}},
	"level-run": {func(n int) string {
		return `{"adjust":true,"tolerance":{"perRootSetupMm":5},"rows":` + rows(n, func(i int) string {
			switch {
			case i == 0:
				return `{"point":"BM","bs":1.315,"knownLevelM":100}`
			case i == n-1:
				return `{"fs":1.315}`
			case i%3 == 0:
				return `{"point":"BM","bs":1.315,"fs":1.315,"knownLevelM":100}`
			default:
				return fmt.Sprintf(`{"point":"p%d","is":1.842}`, i)
			}
		}) + `}`
	}},
	"long-section": {func(n int) string { return `{"bed":` + profile(n, true) + `}` },
		func(n int) string {
			return `{"bed":` + rows(n, func(i int) string {
				return fmt.Sprintf(`{"chainageM":%.3f,"levelM":%d}`, 90_000*float64(i)/float64(n), i%2)
			}) + `}`
		}},
	"dam-layout": {func(n int) string {
		return fmt.Sprintf(`{"crestHeightM":0.5,"bed":%s,"heightsM":[],"sites":%s,"skip":%s,"heads":%s}`, profile(n, false),
			rows(min(n, 9000), func(i int) string { return fmt.Sprintf(`{"chainageM":%.3f}`, 1+80_000*float64(i)/float64(n)) }),
			rows(min(n, 9000), func(i int) string {
				at := 2 + 80_000*float64(i)/float64(n)
				return fmt.Sprintf(`{"fromM":%.3f,"toM":%.3f,"why":"rock"}`, at, at+1)
			}),
			rows(min(n, 900), func(i int) string {
				return fmt.Sprintf(`{"chainageM":%.3f,"depthM":0.3}`, 5+80_000*float64(i)/float64(n))
			}))
	}},
	"dam-check": {func(n int) string {
		return `{"bed":` + profile(n, false) + `,"dams":` + rows(n, func(i int) string {
			at := 90_000 * float64(i) / float64(n+1)
			return fmt.Sprintf(`{"chainageM":%.3f,"crestLevelM":%.4f}`, at, 100.4+at/100)
		}) + `}`
	}},
	"peak-flow": {func(n int) string {
		return `{"parts":` + rows(n, func(i int) string { return `{"areaHa":0.001,"coefficient":0.4}` }) +
			`,"timeOfConcentrationMin":6,"durations":` + rows(50, func(i int) string {
			return fmt.Sprintf(`{"minutes":%.4f,"intensityMmH":%.5f}`, 5+float64(i), 160-float64(i))
		}) + `}`
	}},
	"rock-dam": {func(n int) string {
		n = min(n, 200)
		return `{"crestHeightM":0.5,"crestBreadthM":0.6,"upstreamRunPerRise":1.25,"downstreamRunPerRise":1.25,"stone":"angular, by Heede","accuracyM":0.05,"section":` +
			rows(n, func(i int) string {
				x := 5 * float64(i) / float64(n-1)
				return fmt.Sprintf("[%.4f,%.4f]", x, 11+math.Abs(x-2.5)*0.4+0.01*float64(i%2))
			}) + `}`
	}},
	"whoa-boys": {func(n int) string {
		return `{"table":"local","rows":[{"upToPct":60,"spacingM":20}],"side":"left","track":` + profile(n, false) + `}`
	}, func(n int) string { // heads placed by position, and limbs that lie side by side
		return `{"table":"local","rows":[{"upToPct":60,"spacingM":10}],"clearanceM":30,"side":"left","track":` +
			rows(n, func(i int) string {
				return fmt.Sprintf(`{"position":[%.7f,%.7f],"levelM":%.4f}`, 146+1.8e-4*float64(i%2), -20+1e-7*float64(i), 2000-0.01*float64(i))
			}) +
			`,"gullyHeads":` + rows(min(n, 900), func(i int) string { return fmt.Sprintf(`{"position":[146.0001,%.7f]}`, -20+1e-7*float64(i)) }) + `}`
	}},
	"whoa-boy-check": {func(n int) string {
		return `{"table":"local","rows":[{"upToPct":60,"spacingM":20}],"track":` + profile(n, true) +
			`,"banks":` + rows(min(n, 9000), func(i int) string {
			return fmt.Sprintf(`{"position":[%.7f,-20],"side":"left"}`, 146+0.08*float64(i)/float64(n))
		}) +
			`,"gullyHeads":` + rows(min(n, 900), func(i int) string { return fmt.Sprintf(`{"position":[%.7f,-20.0001]}`, 146+0.08*float64(i)/float64(n)) }) + `}`
	}},
	"bank-layout": {func(n int) string {
		return `{"outlet":{"kind":"grassed area","levelM":50,"stable":true,"toGullyHead":false},"landSlopePct":4,"manningN":0.04,"flowM3S":0.4,"bankRunPerRise":3,"topWidthM":3,"freeboardM":0.1,"settlementPct":10,"instrumentLevelM":52,` +
			fmt.Sprintf(`"reaches":[{"lengthM":%d,"gradePct":0.2},{"lengthM":10.5,"gradePct":0.3}],"pegSpacingM":1.5}`, n) + strings.Repeat(" ", 100*n)
	}},
	"bank-check": {func(n int) string {
		return `{"outletAt":"last peg","reaches":` + rows(50, func(i int) string { return fmt.Sprintf(`{"lengthM":5,"gradePct":%.3f}`, 0.1+0.01*float64(i)) }) +
			`,"landSlopePct":4,"manningN":0.04,"bankRunPerRise":3,"flowM3S":0.4,"permissibleMS":0.5,"pegs":` +
			rows(n, func(i int) string {
				return fmt.Sprintf(`{"chainageM":%.1f,"levelM":%.4f,"crestLevelM":%.4f}`, float64(i)*2, 100+0.16*float64(i%2), 101.0)
			}) + `}`
	}},
	"contour-check": {func(n int) string {
		return `{"toleranceM":0.05,"lipM":0.1,"lipPlusMinusM":0.01,"openEnds":true,"pegs":` +
			rows(n, func(i int) string { return fmt.Sprintf(`{"chainageM":%d,"levelM":%.3f}`, 10*i, 100+0.16*float64(i%2)) }) + `}`
	}},
	"rip-area": {func(n int) string {
		n = min(n, 2400)
		return `{"accuracyM":1,"lines":` + rows(n, func(i int) string {
			at := 1e-3 * float64(i/2) / float64(n)
			if i%2 == 0 {
				return fmt.Sprintf("[[%.9f,-20],[%.9f,-19.999]]", 146+at, 146+at)
			}
			return fmt.Sprintf("[[146,%.9f],[146.001,%.9f]]", -20+at, -20+at)
		}) + `}`
	}, func(n int) string {
		n = min(n, 2400)
		return `{"accuracyM":1,"lines":` + rows(n, func(i int) string {
			at := -20 + 1e-5*float64(i)
			return fmt.Sprintf("[[146,%.7f],[146.001,%.7f]]", at, at+1e-4)
		}) + `}`
	}},
	"windrow-gaps": {func(n int) string {
		n = min(n/4, 490)
		return `{"fallBearingDeg":180,"accuracyM":1,"rows":` + rows(n, func(i int) string {
			at, tilt := -20-1e-5*float64(i), 1e-6*float64(i*i%17-8)
			return fmt.Sprintf(`{"line":[[146,%.8f],[146.0005,%.8f],[146.001,%.8f]],"gaps":[{"fromM":2,"toM":95}]}`, at, at+tilt, at)
		}) + `}`
	}},
	"batter": {func(n int) string {
		return `{"heightM":1.5,"presentRunPerRise":0.5,"targetRunPerRise":3,"lengthM":10,"grades":` +
			rows(n, func(i int) string { return `{"soil":"clay","leastRunPerRise":3,"source":"ours"}` }) + `}`
	}, func(n int) string {
		return `{"heightM":1.5,"presentRunPerRise":0.5,"targetRunPerRise":3,"lengthM":10,"sowing":` +
			rows(n, func(i int) string { return fmt.Sprintf(`{"item":"seed %d","is":"seed","rate":5}`, i) }) +
			`}`
	}},
	"scald": {func(n int) string {
		return `{"areaM2":9000,"ponding":{"pondDepthM":0.1,"freeboardM":0.15,"faceRunPerRise":3},"ground":` +
			rows(n, func(i int) string {
				return fmt.Sprintf(`{"chainageM":%.3f,"levelM":%.4f}`, 0.02*float64(i+1), 100+1e-4*float64(i))
			}) + `}`
	}, func(n int) string {
		return `{"areaM2":9000,"gypsum":{"dispersionClass":"class 0","source":"ours","table":` +
			rows(n, func(i int) string { return fmt.Sprintf(`{"dispersionClass":"class %d","kgHa":5000}`, i) }) + `}}`
	}},
	"gully-volume": {func(n int) string {
		return `{"method":"end-area","sections":` + rows(n/20, func(i int) string {
			return fmt.Sprintf(`{"chainageM":%d,"offsets":%s}`, i, rows(199, func(k int) string {
				return fmt.Sprintf("[%.3f,%.3f]", 0.2*float64(k)-0.3*float64(k%2), 0.001*math.Abs(float64(k-99)))
			}))
		}) + `}`
	}, func(n int) string {
		return `{"method":"end-area","sections":` + rows(n, func(i int) string { return fmt.Sprintf(`{"chainageM":%d,"areaM2":%d}`, i, 1+i%3) }) + `}`
	}},
	"retreat": {func(n int) string {
		return `{"visits":` + rows(n, func(i int) string {
			return fmt.Sprintf(`{"date":"%s","position":[%.7f,-20],"accuracyM":1}`, day(i), 146+1e-6*float64(i%1000))
		}) + `,"thalweg":` + rows(n, func(i int) string { return fmt.Sprintf("[%.8f,-20.0000%d]", 146+1e-2*float64(i)/float64(n), i%9) }) + `}`
	}, func(n int) string {
		return `{"wetSeason":{"firstMonth":11,"lastMonth":4},"visits":` + rows(n, func(i int) string { return fmt.Sprintf(`{"date":"%s","offsetM":%d}`, day(i), 1+i%9) }) + `}`
	}},
	"head-growth": {func(n int) string {
		return `{"outlines":` + rows(max(2, n/100), func(i int) string {
			return fmt.Sprintf(`{"date":"%s","ring":%s}`, day(i), rows(101, func(k int) string {
				sin, cos := math.Sincos(2 * math.Pi * float64(k%100) / 100)
				return fmt.Sprintf("[%.9f,%.9f]", 146+1e-4*cos, -20+1e-4*sin)
			}))
		}) + `}`
	}},
	"sediment": {func(n int) string {
		return `{"bulkDensityTM3":1.3,"dams":` + rows(n, func(i int) string {
			return `{"crestHeightM":0.6,"bedWidthM":1,"widthAtCrestM":3.4,"bedSlopePct":5,"siltHeightM":0.6}`
		}) + `}`
	}},
	"cover": {func(n int) string {
		return `{"targetPct":60,"plots":` + rows(min(n, 10_000), func(i int) string { return fmt.Sprintf(`{"coverPct":%d}`, i%100) }) + `}`
	}},
	"forage-budget": {func(n int) string {
		return `{"detachmentPer30DaysPct":7,"detachmentPer30DaysPlusMinusPct":2,"unpalatablePct":10,"unpalatablePlusMinusPct":3,"residualKgHa":600,"growthKgHaDay":1,"growthPlusMinusKgHaDay":0.5,` +
			`"utilisationPct":30,"utilisationOf":"standing feed","intakeKgDay":8,"intakePlusMinusKgDay":0.4,"days":90,"mobs":` +
			rows(50, func(int) string { return `{"head":10,"unitsPerHead":1,"unitsPlusMinusPerHead":0.1}` }) + `,"landTypes":` + rows(50, func(i int) string {
			return `{"areaHa":100,"areaPlusMinusHa":2,"quadrats":{"frameM2":0.25,"dryMatterPct":40,"dryMatterPlusMinusPct":3,"cutsG":` + rows(n/6, func(k int) string { return fmt.Sprint(100 + k%9) }) + `}}`
		}) + `}`
	}},
	"quantities": {func(n int) string {
		return `{"works":` + rows(n, func(i int) string {
			return fmt.Sprintf(`{"treatment":"rip-line","property":"p%d","items":[{"item":"item %d","unit":"m","quantity":10}]}`, i, i)
		}) + `}`
	}},
	"map-grid": {func(n int) string {
		return `{"grid":"UTM","accuracyM":3,"positions":` + rows(n, func(i int) string { return fmt.Sprintf("[%.6f,-25]", 140+1e-5*float64(i)) }) + `}`
	}},
}

// cost runs a computation and tells the processor time of this thread, its steps, and what it
// answered.
func cost(c Computation, in []byte) (d time.Duration, steps int, text []byte, refused bool) {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	before := threadTime()
	text, refused, steps = c.AnswerUnless(nil, in)
	return threadTime() - before, steps, text, refused
}

// A step takes a tenth of a microsecond or less; ten times as much under the race detector,
// and some more for a machine that is slow or busy.
const (
	mostPerStep = 2 * time.Microsecond
	longEnough  = 100 * time.Millisecond // to tell a growth from noise
)

// TestCost: every computation names how its work grows, and on its worst inputs it grows no
// faster, by the clock of the processor too; its steps are honest; it ends at its budget.
func TestCost(t *testing.T) {
	for _, c := range All() {
		t.Run(c.Name, func(t *testing.T) {
			power, known := map[Growth]float64{Linear: 1, LogLinear: 1.1, Squared: 2}[c.Growth]
			if !known {
				t.Fatalf("its growth is %q, want it named", c.Growth)
			}
			inputs := worst[c.Name]
			if inputs == nil {
				inputs = append(inputs, padded(t, c.Name))
			}
			for k, draw := range inputs {
				small, large := []byte(draw(300)), []byte(draw(2400))
				d0, steps0, _, refusedSmall := cost(c, small)
				d1, steps1, text, refused := cost(c, large)
				far := math.Log(float64(len(large)) / float64(len(small)))
				bySteps, byTime := math.Log(float64(steps1)/float64(steps0))/far, math.Log(float64(d1)/float64(max(d0, longEnough/10)))/far
				t.Logf("input %d: %d KB: %v, %d steps, %.0f ns a step, n^%.2f by steps, n^%.2f by time, answer %d KB, %t %.120s", k, len(large)>>10, d1.Round(time.Millisecond), steps1,
					float64(d1)/float64(steps1), bySteps, byTime, len(text)>>10, refused, text)
				if far > 0 && refused == refusedSmall && (bySteps > power+0.1 || d1 > longEnough && byTime > power+0.6) {
					t.Errorf("input %d: work grows as n^%.2f by steps and n^%.2f by time, want %s", k, bySteps, byTime, c.Growth)
				}
				if d1 > longEnough && d1 > time.Duration(steps1)*mostPerStep {
					t.Errorf("input %d: %d steps took %v", k, steps1, d1)
				}
				if steps1 > MaxSteps+1 {
					t.Errorf("input %d: %d steps were done, the budget is %d", k, steps1, MaxSteps)
				}
			}
		})
	}
}

// TestEveryListGrows makes each list of each golden longer, as it goes on, as it repeats, and
// crowded: no computation does more than its steps say, and no answer is longer than may be.
func TestEveryListGrows(t *testing.T) {
	for _, c := range All() {
		tried := map[string]bool{}
		for _, g := range modeltest.Goldens(t, c.Name) {
			if g.Input == nil || g.Answer == nil || len(g.Input) > 3000 {
				continue
			}
			grown(t, g.In(), 500, func(where string, in []byte) {
				if tried[where] {
					return
				}
				tried[where] = true
				d, steps, text, _ := cost(c, in)
				if d > longEnough && d > time.Duration(steps)*mostPerStep || steps > MaxSteps+1 || len(text) > mostAnswer(len(in)) {
					t.Errorf("%s %s %s: %d KB took %v and %d steps, and answered %d KB", c.Name, g.Name, where, len(in)>>10, d, steps, len(text)>>10)
				}
			})
		}
	}
}

// grown gives a JSON text with each of its lists made n long in three ways.
func grown(t *testing.T, text []byte, n int, try func(where string, in []byte)) {
	var whole any
	if err := json.Unmarshal(text, &whole); err != nil {
		t.Fatal(err)
	}
	var walk func(where string, v any, put func(any))
	walk = func(where string, v any, put func(any)) {
		switch v := v.(type) {
		case map[string]any:
			for name, one := range v {
				walk(where+"."+name, one, func(o any) { v[name] = o })
			}
		case []any:
			for _, step := range []float64{0, 1, 1e-3} {
				long := append([]any{}, v...)
				for k := len(v); k < n && len(v) > 0; k++ {
					last := v[len(v)-1]
					if step > 0 && len(v) > 1 {
						last = beyond(v[len(v)-2], last, step*float64(k-len(v)+1))
					} else {
						last = v[k%len(v)]
					}
					long = append(long, last)
				}
				put(long)
				made, err := json.Marshal(whole)
				if err != nil {
					t.Fatal(err)
				}
				try(fmt.Sprint(where, " by ", step), made)
			}
			put(v)
			if len(v) > 0 {
				walk(where+"[]", v[0], func(o any) { v[0] = o })
			}
		}
	}
	walk("", whole, func(o any) { whole = o })
}

// beyond goes on from a past b: each number as far again, by so many times.
func beyond(a, b any, times float64) any {
	switch b := b.(type) {
	case float64:
		if a, ok := a.(float64); ok {
			return b + times*(b-a)
		}
	case []any:
		if a, ok := a.([]any); ok && len(a) == len(b) {
			all := make([]any, len(b))
			for i := range b {
				all[i] = beyond(a[i], b[i], times)
			}
			return all
		}
	case map[string]any:
		if a, ok := a.(map[string]any); ok {
			all := map[string]any{}
			for name, one := range b {
				all[name] = beyond(a[name], one, times)
			}
			return all
		}
	}
	return b
}

// TestAttacksEnd: what used to take minutes, or to answer thousands of times what was sent, is
// refused in plain words. 145 bytes laid out 2.5 MB of dams.
func TestAttacksEnd(t *testing.T) {
	for _, a := range []struct{ name, computation, in, says string }{
		{"crossing-lines", "rip-area", worst["rip-area"][0](2400), "meet at more than"},
		{"dams-without-end", "dam-layout", `{"crestHeightM":0.1,"bed":[{"chainageM":0,"levelM":0},{"chainageM":9000,"levelM":900}]}`, "KiB, which is too much"},
		{"places-without-end", "map-grid", worst["map-grid"][0](200_000), "KiB, which is too much"},
		{"banks-put-on-a-long-track", "whoa-boy-check", worst["whoa-boy-check"][0](8900), "more work than one computation may"},
		{"visits-put-on-a-long-thalweg", "retreat", worst["retreat"][0](6000), "more work than one computation may"},
	} {
		t.Run(a.name, func(t *testing.T) {
			c, _ := Named(a.computation)
			_, steps, text, refused := cost(c, []byte(a.in))
			if !refused || !strings.Contains(string(text), a.says) || steps > MaxSteps+1 {
				t.Errorf("%d bytes took %d steps and answered %d bytes, %.200s; want a refusal with %q", len(a.in), steps, len(text), text, a.says)
			}
		})
	}
}

// TestNobodyWaits: a computation ends soon after its caller has gone, wherever it is.
func TestNobodyWaits(t *testing.T) {
	for name, in := range map[string]string{
		"long-section": worst["long-section"][0](1500), "retreat": worst["retreat"][0](1500), "rip-area": worst["rip-area"][1](900),
		"windrow-gaps": worst["windrow-gaps"][0](900), "whoa-boy-check": worst["whoa-boy-check"][0](1500), "area": worst["area"][0](4000),
	} {
		c, _ := Named(name)
		_, _, all := c.AnswerUnless(nil, []byte(in))
		asked := 0
		text, refused, steps := c.AnswerUnless(func() bool { asked++; return asked > 1 }, []byte(in))
		if !refused || !strings.Contains(string(text), "nobody waits") || steps >= all {
			t.Errorf("%s: %.100s after %d of %d steps, want it stopped", name, text, steps, all)
		}
	}
}
