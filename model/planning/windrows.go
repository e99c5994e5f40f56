package planning

import (
	"encoding/json"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/geodesy"
	"headcut/model/jsonvalue"
	"headcut/model/works"
)

// windrowRow is a row in the words of windrow-gaps.
type windrowRow struct {
	Name string         `json:"name,omitempty"`
	Line orb.LineString `json:"line"`
	Gaps []works.RowGap `json:"gaps"`
}

// windrows drafts the windrows of a patch: those that a closed level run checks and, where the request
// says how far apart, those between them, with gaps where none lies above a gap.
func (d *drafting) windrows() {
	p := d.patchOf("windrow")
	planned := p.between()
	heightM, high := d.own("heightM", 0.1, 5)
	p.stagger(planned)
	fromTheTop(planned)
	if len(d.Refused) > 0 {
		return
	}
	var rows []windrowRow
	for i, next := 0, 0; i < len(p.lines); i++ {
		for ; next < len(planned) && planned[next].levelM > p.lines[i].levelM; next++ {
			rows = append(rows, windrowRow{plannedRow(rounded(planned[next].levelM)), planned[next].line, append([]works.RowGap{}, planned[next].gaps...)})
		}
		rows = append(rows, windrowRow{p.lines[i].item.Called(), p.lines[i].line, append([]works.RowGap{}, p.lines[i].gaps...)})
	}
	d.in.put("rows", rows)
	p.putAccuracy()
	if len(planned) > 0 {
		d.miss("%s planned between those that a closed level run checks: each is not levelled until its own pegs are. Push no timber before.", count(len(planned), "row is", "rows are"))
	}
	if !d.has("fallBearingDeg") {
		d.miss("the fall is taken square to the rows: shoot the bearing straight down the slope, and give fallBearingDeg.")
	}
	p.propose(planned, func(f fields) {
		if high {
			f.put("heightM", heightM)
			f.put("heightBasis", model.FromPlan)
		}
	})
}

// plannedRow is what a planned row is called until it has a name.
func plannedRow(levelM float64) string { return "planned at " + model.ToMillimetre(levelM) }

// stagger leaves gaps in planned rows, each where windrow-gaps finds it clear of those above and below. A row in
// which none is clear has none.
func (p *patch) stagger(planned []plannedLine) {
	widthM, wide := p.own("gapM", 1, 50)
	everyM, often := p.own("gapsApartM", 2, 1000)
	switch {
	case len(p.Refused) > 0 || !wide && !often:
		return
	case !wide || !often || everyM < 2*widthM:
		p.refuse("gaps: give gapM, how wide each is, and gapsApartM from the middle of one to that of the next, at least twice as far.")
		return
	}
	fall := math.NaN()
	if raw, given := p.request.Given["fallBearingDeg"]; given && jsonvalue.Unmarshal(raw, &fall) != nil {
		return // what is no bearing the computation refuses
	}
	for i := range planned {
		row := &planned[i]
		above := works.Windrow{Line: row.upper.line, Gaps: row.upper.gaps}
		if i > 0 && planned[i-1].lower == row.lower && planned[i-1].upper == row.upper {
			above = works.Windrow{Line: planned[i-1].line, Gaps: planned[i-1].gaps}
		}
		rows := []works.Windrow{above, {Line: row.line}, {Line: row.lower.line}}
		if i+1 == len(planned) || planned[i+1].lower != row.lower || planned[i+1].upper != row.upper {
			rows[2].Gaps = row.lower.gaps
		}
		for _, shift := range []float64{0.5, 0.25, 0.75, 0, 0.125, 0.625, 0.375, 0.875} {
			rows[1].Gaps = gapsAlong(geodesy.Length(row.line), widthM, everyM, shift)
			s, err := works.Windrows{Rows: rows, FallBearingDeg: fall, AccuracyM: p.accuracyM()}.Stagger(nil)
			if err == nil && (s.Verdict == works.Staggered || s.Verdict == works.NoRowsBelow) {
				row.gaps = rows[1].Gaps
				break
			}
		}
		if len(row.gaps) == 0 {
			p.miss("nowhere in the row planned %s is a gap sure to be clear of those above and below: it has none. Tape those and look straight down the fall.", p.where(row.downM))
		}
	}
}

// gapsAlong are gaps of a width along a row, each so far from the next; none within a width of its ends.
func gapsAlong(lengthM, widthM, everyM, shift float64) (gaps []works.RowGap) {
	for m := shift * everyM; m+1.5*widthM <= lengthM; m += everyM {
		if m >= 1.5*widthM {
			gaps = append(gaps, works.RowGap{FromM: m - widthM/2, ToM: m + widthM/2})
		}
	}
	return gaps
}

func (a *adopting) windrows(answer json.RawMessage) error {
	var out struct {
		Pairs []struct {
			RowName      string      `json:"rowName"`
			BelowRowName string      `json:"belowRowName"`
			Meets        works.Meets `json:"meets"`
		} `json:"pairs"`
	}
	if jsonvalue.Unmarshal(answer, &out) != nil {
		return &model.Problem{Reason: "the answer is not one of windrow-gaps"}
	}
	for _, pair := range out.Pairs {
		if pair.Meets == works.MeetsGap && slices.ContainsFunc(a.d.works, func(w proposal) bool {
			name := plannedRow(w.levelM)
			return name == pair.RowName || name == pair.BelowRowName
		}) {
			return &model.Problem{Reason: "a gap of the row " + pair.RowName + " lies above one of the row " + pair.BelowRowName + ", and cannot be adopted", Fix: "change gapM, gapsApartM or fallBearingDeg"}
		}
	}
	return a.lines("windrow")
}
