package followup

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

// box is an edge walked round a rectangle, so many metres up the gully and 10 m wide.
func box(id, day string, upM float64, fields ...any) recorded.Item {
	at := geodesy.Frame{Origin: orb.Point{148, -20}}
	edge := item("gully-edge", id, append([]any{"name", "Main head", "observedOn", day, "accuracyM", 0.5}, fields...)...)
	edge.Geometry = orb.Polygon{{at.Position(0, 0), at.Position(10, 0), at.Position(10, upM), at.Position(0, upM), at.Position(0, 0)}}
	return edge
}

func TestEdgesThatWereWalkedAgain(t *testing.T) {
	a, b, c := box("a", "2024-06-01", 20), box("b", "2025-06-01", 21), box("c", "2026-06-01", 30)
	out := ask(t, Request{}, c, a, b)
	if len(out.Edges) != 1 || out.Edges[0].Feature != "c" {
		t.Fatalf("%+v; want one edge, by its newest walk", out.Edges)
	}
	// By hand: 10 m times 10 m in two years. An area errs by half of 0.5 m times the root of the sum of squares of the
	// diagonals that its four corners move along: 11.18 m² and 15.81 m², together 19.36 m².
	since, last := out.Edges[0].Since, out.Edges[0].Last
	if math.Abs(since.Growth.Value-100) > 0.1 || math.Abs(since.Rate.Value-50) > 0.05 || math.Abs(*since.Growth.PlusMinus-19.36) > 0.06 || since.MoreThanNoise != monitor.Yes || since.Growth.Basis != model.GPS || last.From != on("2025-06-01") || math.Abs(last.Growth.Value-90) > 0.1 {
		t.Errorf("since %+v, last %+v", since, last)
	}
	if e := ask(t, Request{}, a, b).Edges[0]; e.Since.MoreThanNoise != monitor.No || e.Last != nil {
		t.Errorf("10 m² of two walks of half a metre: %+v", e)
	}
	if e := ask(t, Request{}, a, box("b", "2024-12-01", 21)).Edges[0]; e.Since.Rate != nil || math.Abs(e.Since.Growth.Value-10) > 0.1 {
		t.Errorf("of half a year: %+v", e)
	}
	if e := ask(t, Request{}, a, box("b", "2024-06-01", 21)).Edges[0]; e.Since != nil || e.Why == "" {
		t.Errorf("twice on a day: %+v", e)
	}
	for name, other := range map[string]recorded.Item{
		"another name": box("b", "2025-06-01", 21, "name", "North head"), "no name": box("b", "2025-06-01", 21, "name", ""), "no day": box("b", "", 21), "to come": box("b", "2027-06-01", 21),
		"in clash": clashed(box("b", "2025-06-01", 21), "geometry"), "struck": struck(box("b", "2025-06-01", 21)), "a year before": box("b", "2022-06-01", 21),
		"elsewhere": func() recorded.Item {
			far := box("b", "2025-06-01", 21)
			far.Geometry = orb.Polygon{{{149, -20}, {149.0001, -20}, {149, -20.0001}, {149, -20}}}
			return far
		}(),
	} {
		r := Request{}
		if name == "a year before" {
			r = Request{From: 2025, To: 2026}
		}
		if out := ask(t, r, a, other); len(out.Edges) != 0 || name == "in clash" != (len(out.LeftOut) == 1) {
			t.Errorf("%s: %+v, left out %v", name, out.Edges, out.LeftOut)
		}
	}
}
