package pages

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"headcut/sync/register"
)

// drawn is what the page has drawn of a long section, in pixels of its SVG.
type drawn struct {
	Caption  string
	Findings string
	XTicks   []tick
	YTicks   []tick
	Bed      string
	BedDash  string
	Dams     map[string]string // path of each dam
	DamDash  map[string]string
	DamLook  map[string]string // "standing" or "planned"
	Crests   map[string]string
	Faults   []fault
	Width    float64
	Texts    []string
}

type tick struct {
	Text string
	At   float64
}

type fault struct{ Kind, Step, Text string }

const readSection = `(() => {
	const s = document.querySelector(".section"), svg = s.querySelector("svg");
	const by = (sel, key, get) => Object.fromEntries([...svg.querySelectorAll(sel)].map(e => [e.dataset[key], get(e)]));
	return {
		Caption: s.querySelector("figcaption").innerText, Findings: s.querySelector(".findings")?.innerText ?? "",
		XTicks: [...svg.querySelectorAll(".xtick text")].map(e => ({Text: e.textContent, At: +e.getAttribute("x")})),
		YTicks: [...svg.querySelectorAll(".ytick text")].map(e => ({Text: e.textContent, At: +e.getAttribute("y")})),
		Bed: svg.querySelector(".bed").getAttribute("d"), BedDash: svg.querySelector(".bed").getAttribute("stroke-dasharray") || "",
		Dams: by("[data-dam]", "dam", e => e.querySelector("path").getAttribute("d")),
		DamDash: by("[data-dam]", "dam", e => e.querySelector("path").getAttribute("stroke-dasharray") || ""),
		DamLook: by("[data-dam]", "dam", e => e.querySelector("path").className.baseVal),
		Crests: by("[data-crest]", "crest", e => e.getAttribute("d")),
		Faults: [...svg.querySelectorAll("[data-fault]")].map(e => ({Kind: e.dataset.fault, Step: e.querySelector(".step").getAttribute("d"), Text: e.querySelector("text").textContent})),
		Width: svg.getBoundingClientRect().width,
		Texts: [...svg.querySelectorAll("text")].map(e => e.textContent),
	}
})()`

var decimal = regexp.MustCompile(`-?[0-9.]+`)

func numbersIn(t *testing.T, s string) []float64 {
	t.Helper()
	var out []float64
	for _, text := range decimal.FindAllString(s, -1) {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatalf("number %q in %q: %v", text, s, err)
		}
		out = append(out, v)
	}
	return out
}

// axis is the scale that an axis' own ticks state: value = from + (px - at) / pxPerUnit.
type axis struct{ at, from, pxPerUnit float64 }

func axisOf(t *testing.T, ticks []tick) axis {
	t.Helper()
	if len(ticks) < 3 {
		t.Fatalf("an axis needs three ticks to check that they are even: got %v", ticks)
	}
	value := func(k tick) float64 { return numbersIn(t, strings.ReplaceAll(k.Text, "\u2212", "-"))[0] }
	first, last := ticks[0], ticks[len(ticks)-1]
	a := axis{first.At, value(first), (last.At - first.At) / (value(last) - value(first))}
	for _, k := range ticks {
		if got := a.px(value(k)); math.Abs(got-k.At) > 0.02 {
			t.Errorf("tick %q stands at %.2f, want %.2f: the axis is uneven", k.Text, k.At, got)
		}
	}
	return a
}

func (a axis) px(value float64) float64 { return a.at + (value-a.from)*a.pxPerUnit }

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 0.05 {
		t.Errorf("%s: drawn at %.2f px, want %.2f", what, got, want)
	}
}

// The drawing is checked against the level book the test wrote, by the scale that the
// drawing's own ticks state.
func TestLongSectionIsToScale(t *testing.T) {
	site := newSite(t, landOf(t, "Stony Block", gully(t, 0)...))
	for _, size := range []screen{desktop, phone} {
		p := open(t, site, size)
		p.WaitFor(`document.querySelector(".section svg") !== null`)
		d := eval[drawn](p, readSection)
		x, y := axisOf(t, d.XTicks), axisOf(t, d.YTicks)

		stated := regexp.MustCompile(`drawn ([0-9]+) times larger`).FindStringSubmatch(plainSpaces(d.Caption))
		if stated == nil {
			t.Fatalf("%v: the caption %q does not say how much heights are exaggerated", size, d.Caption)
		}
		times, _ := strconv.ParseFloat(stated[1], 64)
		if got := -y.pxPerUnit / x.pxPerUnit; math.Abs(got-times) > times*0.002 {
			t.Errorf("%v: heights are drawn %.3f times larger than lengths, and the caption says %v", size, got, times)
		}

		bed := numbersIn(t, d.Bed)
		if len(bed) != 2*13 {
			t.Fatalf("%v: the bed has %d numbers, want a pair for each of 13 stations: %s", size, len(bed), d.Bed)
		}
		for i := range 13 {
			c := float64(10 * i)
			near(t, "bed chainage "+strconv.Itoa(10*i), bed[2*i], x.px(c))
			near(t, "bed level at "+strconv.Itoa(10*i), bed[2*i+1], y.px(100+c*0.02))
		}
		for i, dam := range dams {
			path := numbersIn(t, d.Dams[dam.id]) // M x toe V crest …
			if len(path) < 3 {
				t.Fatalf("%v: %s is not drawn: %q", size, dam.name, d.Dams[dam.id])
			}
			near(t, dam.name+" chainage", path[0], x.px(dam.chainageM))
			crest := numbersIn(t, d.Crests[dam.id]) // M x y H x2
			if dam.toeM == 0 {
				near(t, dam.name+" toe on the bed", path[1], y.px(100+dam.chainageM*0.02))
				near(t, dam.name+" crest as written down", path[2], y.px(100+dam.chainageM*0.02+0.4))
				if d.DamDash[dam.id] != "" || d.DamLook[dam.id] != "planned" {
					t.Errorf("%v: %s is planned and drawn %q with dashes %q", size, dam.name, d.DamLook[dam.id], d.DamDash[dam.id])
				}
				continue
			}
			near(t, dam.name+" toe", path[1], y.px(dam.toeM))
			near(t, dam.name+" crest", path[2], y.px(dam.crestM))
			near(t, dam.name+" crest line level", crest[1], y.px(dam.crestM))
			near(t, dam.name+" crest line start", crest[0], x.px(dam.chainageM))
			// It reaches the next dam, or ends where the bed rises to it.
			near(t, dam.name+" crest line end", crest[2], x.px(min(dams[i+1].chainageM, (dam.crestM-100)/0.02)))
			if d.DamDash[dam.id] != "" {
				t.Errorf("%v: %s is levelled and proven, and drawn dashed", size, dam.name)
			}
		}

		if len(d.Faults) != 2 {
			t.Fatalf("%v: %d failing pairs are drawn, want the gap and the drowned toe: %+v", size, len(d.Faults), d.Faults)
		}
		for i, want := range []struct {
			kind, text          string
			at, crestM, nextToe float64
		}{{"gap", "gap 0.2 m", 40, 100.60, 100.80}, {"drowned", "drowned toe 0.2 m", 52, 101.20, 101.05}} {
			got := d.Faults[i]
			if got.Kind != want.kind || plainSpaces(got.Text) != want.text {
				t.Errorf("%v: failing pair %d: got %q %q, want %q", size, i, got.Kind, got.Text, want.text)
			}
			step := numbersIn(t, got.Step) // M x-7 y1 h14 M x-7 y2 h14 M x y1 V y2
			near(t, want.text+" stands at", step[6], x.px(want.at))
			near(t, want.text+" from", step[7], y.px(want.crestM))
			near(t, want.text+" to", step[8], y.px(want.nextToe))
		}
		for _, want := range []string{
			"Gap of 0.2 m between Dam 1 and Dam 2: water falls on bare bed there.",
			"Drowned toe: Dam 2 stands 0.2 m too high for Dam 3, so silt will bury the foot of that one.",
			"Dams drawn in outline are planned, not built yet; the thin line is how far silt could fill up behind them.",
		} {
			wantIn(t, "the words below the section", d.Findings, want)
		}
		if strings.Contains(d.Findings, "dashed") || strings.Contains(d.Findings, "closed level run") {
			t.Errorf("%v: the run closes, and the words below the section doubt it: %q", size, d.Findings)
		}
		for _, want := range []string{"distance up the gully, m", "level, m", "Dam 1", "Dam 4"} {
			wantIn(t, "the texts in the section", strings.Join(d.Texts, "|"), want)
		}
		if d.Width > float64(size.width) {
			t.Errorf("%v: the section is %v px wide", size, d.Width)
		}
		p.WantQuiet(nil)
	}
}

// What the words say of the drawing is in it: its length is that of the levelled bed, not of
// the mapped line, and of silt nothing is said where no line of it is drawn.
func TestWordsOfTheSectionAreOfWhatIsDrawn(t *testing.T) {
	all := []register.Folded{
		feature(t, "gully", fields{"kind": "thalweg", "name": "Stony Gully", "geometry": line(at(0, 0), at(0, 90))}),
		feature(t, "run", fields{"kind": "level-run", "name": "Book 1", "rows": []fields{ // of 60 m; the dams' toes are not where the bed is
			{"point": "BM", "bs": 3.0, "knownLevelM": 100.0},
			{"point": "bed", "is": 2.8, "feature": "gully", "spot": "bed", "chainageM": 0},
			{"point": "toe", "is": 1.2, "feature": "dam-1", "spot": "toe"},
			{"point": "toe", "is": 1.1, "feature": "dam-2", "spot": "toe"},
			{"point": "bed", "is": 2.0, "feature": "gully", "spot": "bed", "chainageM": 60},
			{"point": "BM", "fs": 3.0, "knownLevelM": 100.0},
		}}),
	}
	for i, chainageM := range []float64{10, 40} {
		id := fmt.Sprint("dam-", i+1)
		all = append(all, feature(t, id, fields{
			"kind": "check-dam", "name": fmt.Sprint("Dam ", i+1), "status": "pegged", "peggedOn": "2026-06-01", "thalweg": "gully", "geometry": point(at(0, chainageM)),
			"chainageM": chainageM, "chainageBasis": "taped", "toeLevelM": 101.85, "targetCrestLevelM": 102.4,
		}))
	}
	p := open(t, newSite(t, landOf(t, "Stony Block", all...)), desktop)
	p.WaitFor(`document.querySelector(".section svg") !== null`)
	eval[bool](p, `(document.querySelector(".sections").scrollIntoView(), true)`)
	p.Screenshot("section-without-silt")
	d := eval[drawn](p, readSection)
	ends := numbersIn(t, d.Bed)
	x := axisOf(t, d.XTicks)
	drawnM := (ends[len(ends)-2] - ends[0]) / x.pxPerUnit
	wantIn(t, "the caption", plainSpaces(d.Caption), fmt.Sprintf("%.0f m along the gully bed", drawnM))
	for _, want := range []string{"The level and the place of Dam 1 do not agree", "Dams drawn in outline are planned, not built yet."} {
		wantIn(t, "the words below the section", plainSpaces(d.Findings), want)
	}
	if text := eval[string](p, `document.querySelector(".sections").innerText`); len(d.Crests) > 0 || strings.Contains(text, "silt can fill") || strings.Contains(text, "silt could fill") {
		t.Errorf("%d lines of silt are drawn, and the words are %q", len(d.Crests), text)
	}
	p.WantQuiet(nil)
}

func TestUnprovenLevelsAreDashedAndSaid(t *testing.T) {
	p := open(t, newSite(t, landOf(t, "Stony Block", gully(t, 0.5)...)), desktop)
	p.WaitFor(`document.querySelector(".section svg") !== null`)
	d := eval[drawn](p, readSection)
	if d.BedDash == "" {
		t.Error("the bed of a run that does not close is drawn as a full line")
	}
	for id, dash := range d.DamDash {
		if (dash == "") != (d.DamLook[id] == "planned") {
			t.Errorf("%s, levelled by a run that does not close or planned, is drawn %q with dashes %q", id, d.DamLook[id], dash)
		}
	}
	if len(d.Faults) != 0 {
		t.Errorf("a run that does not close proves no gap: got %+v", d.Faults)
	}
	wantIn(t, "the words below the section", d.Findings, "What is dashed is not yet checked by a closed level run: levels taken up the gully and back to the start, where they must agree.")
	p.WantQuiet(nil)
}

func TestNumbersOfTheSectionCanBeRead(t *testing.T) {
	p := open(t, newSite(t, landOf(t, "Stony Block", gully(t, 0)...)), desktop)
	p.WaitFor(`document.querySelector(".numbers") !== null`)
	rows := eval[[][]string](p, `[...document.querySelectorAll(".numbers tr")].map(r => [...r.cells].map(c => c.textContent))`)
	want := [][]string{
		{"Dam", "Distance up the gully", "Height", "To the next dam up"},
		{"Dam 1", "10.0 ± 0.1 m", "0.4 m", "30.0 ± 0.1 m; gap of 0.2 m"},
		{"Dam 2", "40.0 ± 0.1 m", "0.4 m", "12.0 ± 0.1 m; drowned toe, 0.2 m too high: silt will bury its foot"},
		{"Dam 3", "52.0 ± 0.1 m", "0.4 m", "20.0 ± 0.1 m; OK"},
		{"Dam 4", "72.0 ± 0.1 m", "0.45 m", "20.0 ± 0.1 m; foot of Dam 5 not levelled yet"},
		{"Dam 5", "92.0 ± 0.1 m", "0.4 m, planned", ""},
	}
	if len(rows) != len(want) {
		t.Fatalf("the table has %d rows, want %d: %q", len(rows), len(want), rows)
	}
	for i := range want {
		for j, cell := range want[i] {
			got := plainSpaces(rows[i][j])
			if got != cell {
				t.Errorf("table row %d, column %d: got %q, want %q", i, j, got, cell)
			}
		}
	}
}

// Dams that are pegged and not built stand on the landholder's section as on the phone's:
// in outline, as high as they were pegged for, with the line of the silt behind them. The words
// say what the outline means, and nothing of how the officer's line was turned.
func TestPeggedDamsAreDrawnAsPlanned(t *testing.T) {
	all := gully(t, 0)
	for i, f := range all {
		if f.Feature == "gully" {
			all[i] = feature(t, "gully", fields{"kind": "thalweg", "name": "Stony Gully", "geometry": line(at(0, 120), at(0, 60), at(0, 0))})
		}
		if f.Feature == "dam-5" {
			all[i] = feature(t, "dam-5", fields{
				"kind": "check-dam", "name": "Dam 5", "status": "pegged", "peggedOn": "2026-06-01", "thalweg": "gully", "geometry": point(at(0, 92)),
				"chainageM": 92, "chainageBasis": "taped", "toeLevelM": 101.84, "targetCrestLevelM": 102.34,
			})
		}
	}
	for _, size := range []screen{desktop, phone} {
		p := open(t, newSite(t, landOf(t, "Stony Block", all...)), size)
		p.WaitFor(`document.querySelector(".section svg") !== null`)
		eval[bool](p, `(document.querySelector(".sections").scrollIntoView(), document.querySelector(".numbers").open = true)`)
		p.Screenshot(fmt.Sprint("pegged-dams-", size.width))
		d := eval[drawn](p, readSection)
		x, y := axisOf(t, d.XTicks), axisOf(t, d.YTicks)
		body, crest := numbersIn(t, d.Dams["dam-5"]), numbersIn(t, d.Crests["dam-5"])
		if len(body) < 3 || len(crest) != 3 {
			t.Fatalf("%v: the pegged dam is drawn %q with the line of its silt %q", size, d.Dams["dam-5"], d.Crests["dam-5"])
		}
		near(t, "pegged dam's toe", body[1], y.px(101.84))
		near(t, "pegged dam's crest", body[2], y.px(102.34))
		near(t, "line of its silt starts", crest[0], x.px(92))
		near(t, "line of its silt ends", crest[2], x.px(117))
		if d.DamDash["dam-5"] != "" || d.DamLook["dam-5"] != "planned" {
			t.Errorf("%v: the pegged dam is drawn %q with dashes %q", size, d.DamLook["dam-5"], d.DamDash["dam-5"])
		}
		wantIn(t, "the words below the section", d.Findings, "Dams drawn in outline are planned, not built yet")
		for _, not := range []string{"dashed", "closed level run", "thalweg", "turned", "circle", "not recorded yet"} {
			if strings.Contains(d.Findings, not) {
				t.Errorf("%v: the words below the section say %q: %q", size, not, d.Findings)
			}
		}
		cells := eval[[]string](p, `[...document.querySelectorAll(".numbers tr")].map(r => r.cells[1].textContent)`)
		if got, want := plainSpaces(cells[5]), "92.0 ± 0.1 m"; got != want {
			t.Errorf("%v: the taped distance reads %q, want %q", size, got, want)
		}
		p.WantQuiet(nil)
	}
}
