package server

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/works"
	"headcut/sync/intake"
)

// FarM is how far from everything else on a property a place is doubted. No property is so
// large, and a missing minus or two swapped axes lead farther. Common practice, no source.
const FarM = 100_000

// anchors are places of a property, one in each cell of a tenth of a degree.
type anchors map[[2]int]orb.Point

func cellOf(p orb.Point) [2]int {
	return [2]int{int(math.Floor(p[0] * 10)), int(math.Floor(p[1] * 10))}
}

func (a anchors) add(raw json.RawMessage) {
	for _, p := range positionsOf(raw) {
		if _, there := a[cellOf(p)]; !there {
			a[cellOf(p)] = p
		}
	}
}

// fromM is how far the place is from the nearest anchor, where that is beyond FarM; else 0, as without any.
func (a anchors) fromM(p orb.Point) float64 {
	if _, there := a[cellOf(p)]; there || len(a) == 0 {
		return 0
	}
	nearest := math.Inf(1)
	for _, anchor := range a {
		if nearest = min(nearest, geodesy.Distance(anchor, p)); nearest <= FarM {
			return 0
		}
	}
	return nearest
}

func positionsOf(raw json.RawMessage) []orb.Point {
	g, err := model.ParseGeometry(raw)
	if len(raw) == 0 || err != nil {
		return nil
	}
	return intake.Positions(g)
}

// anchorsOf are the places of what is on the property; where nothing is, of the file's records
// around their middle, if most are there. nil when it cannot be known what is far.
func (t *taking) anchorsOf(file intake.File) (anchors, error) {
	all := anchors{}
	for f, err := range t.s.folded(t.ctx, t.property.ID) {
		if err != nil {
			return nil, err
		}
		if !f.Struck {
			all.add(f.Fields["geometry"])
		}
	}
	if len(all) > 0 {
		return all, nil
	}
	var lons, lats []float64
	for _, r := range file.Records {
		if at := positionsOf(r.Fields["geometry"]); len(at) > 0 {
			lons, lats = append(lons, at[0][0]), append(lats, at[0][1])
		}
	}
	if len(lons) < 3 {
		return nil, nil
	}
	slices.Sort(lons)
	slices.Sort(lats)
	middle := orb.Point{lons[len(lons)/2], lats[len(lats)/2]}
	near := 0
	for _, r := range file.Records {
		if at := positionsOf(r.Fields["geometry"]); len(at) > 0 && geodesy.Distance(middle, at[0]) <= FarM {
			all[cellOf(at[0])] = at[0]
			near++
		}
	}
	if near*2 <= len(lons) {
		return nil, nil
	}
	return all, nil
}

// tooFar leaves a place out that is far from everything else.
func (t *taking) tooFar(r intake.Record, fields map[string]json.RawMessage) bool {
	far := 0.0
	for _, p := range positionsOf(fields["geometry"]) {
		far = max(far, t.anchors.fromM(p))
	}
	if far == 0 {
		return false
	}
	t.taken.LeftOut++
	t.note(r, "place", fmt.Sprintf("%s is %s km from everything else on this property: is a minus missing? Left out", cmp.Or(model.TextOf(fields["name"]), "it"), strings.ReplaceAll(rounded(far/1000, 0), "\u202f", " ")),
		"edit it, or give --far if it is right")
	return true
}

// tellCrest says that a check dam is above the limit, as its page does.
func (t *taking) tellCrest(r intake.Record, kind, called string, fields map[string]json.RawMessage) {
	var heightM float64
	if kind == "check-dam" && json.Unmarshal(fields["crestHeightM"], &heightM) == nil && heightM > works.MaxCrestM {
		t.note(r, "crestHeightM", fmt.Sprintf("%s: at %.2f m it is above the limit of %v m for a porous dam: an engineer's structure. It is taken in", cmp.Or(model.TextOf(fields["name"]), called, "it"), heightM, works.MaxCrestM), "have an engineer look at it")
	}
}

// latestDay is the date where the day begins first, 14 hours ahead of UTC.
func latestDay(now time.Time) string { return now.UTC().Add(14 * time.Hour).Format(time.DateOnly) }
