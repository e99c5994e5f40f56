package followup

import (
	"cmp"
	"math"
	"slices"

	"headcut/model"
	"headcut/model/monitor"
)

// Found counts works by what the newest visit that judged them found.
type Found struct {
	Sound     int `json:"sound"`
	Healed    int `json:"healed"`
	NeedsWork int `json:"needsWork"`
	Failed    int `json:"failed"`
}

func (f *Found) add(c model.Condition) {
	switch c {
	case model.Sound:
		f.Sound++
	case model.Healed:
		f.Healed++
	case model.NeedsWork:
		f.NeedsWork++
	case model.HasFailed:
		f.Failed++
	}
}

// Works is how many.
func (f Found) Works() int { return f.Sound + f.Healed + f.NeedsWork + f.Failed }

// Held is how the works of one kind and material held in the years asked for.
type Held struct {
	Kind     string `json:"kind"`
	Material string `json:"material,omitempty"`
	Built    int    `json:"built"` // by the last of the years, also those that nobody judged in them
	Found
	From []string `json:"from"` // the visits, and the works that were recorded as failed
}

// Age is how works of one kind were found after so many wet seasons.
type Age struct {
	Kind       string `json:"kind"`
	WetSeasons int    `json:"wetSeasons"` // since they were built; one under way counts from its half on
	Found
	From []string `json:"from"`
}

const unsettledMaterial = "material not settled"

func held(works []standing, r Request) []Held {
	rows := []Held{}
	for _, w := range works {
		if w.isDated && r.past(w.built) {
			continue
		}
		material := w.Text("material")
		if w.Unsettled("material") != "" {
			material = unsettledMaterial
		}
		at := slices.IndexFunc(rows, func(h Held) bool { return h.Kind == w.Kind && h.Material == material })
		if at < 0 {
			at = len(rows)
			rows = append(rows, Held{Kind: w.Kind, Material: material, From: []string{}})
		}
		row := &rows[at]
		row.Built++
		condition, from := w.foundIn(r)
		if condition != "" {
			row.add(condition)
			row.From = append(row.From, from)
		}
	}
	model.SortStable(rows, func(a, b Held) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Material, b.Material))
	})
	return rows
}

// foundIn is the newest that was found of a work in the years asked for: by a visit, or when it was recorded as failed.
func (w standing) foundIn(r Request) (condition model.Condition, from string) {
	on := ""
	for _, l := range w.looks {
		if l.Condition != "" && r.holds(l.day) {
			condition, from, on = l.Condition, l.ID, l.On
		}
	}
	if w.Status() != model.Failed {
		return condition, from
	}
	failed, err := monitor.ParseDay(w.Text("failedOn"))
	switch {
	case err == nil && r.holds(failed) && w.Text("failedOn") >= on, err != nil && r.From == 0 && r.To == 0 && on == "":
		return model.HasFailed, w.ID
	}
	return condition, from
}

// ages counts each work once for each age, as it was found last at that age.
func ages(works []standing, r Request, wet Wet) []Age {
	rows := []Age{}
	for _, w := range works {
		if !w.isDated {
			continue
		}
		last := map[int]look{}
		for _, l := range w.looks {
			if l.Condition != "" && r.holds(l.day) {
				last[wets(wet, w.built, l.day)] = l
			}
		}
		for age, l := range last {
			at := slices.IndexFunc(rows, func(row Age) bool { return row.Kind == w.Kind && row.WetSeasons == age })
			if at < 0 {
				at = len(rows)
				rows = append(rows, Age{Kind: w.Kind, WetSeasons: age})
			}
			rows[at].add(l.Condition)
			rows[at].From = append(rows[at].From, l.ID)
		}
	}
	for _, row := range rows {
		slices.Sort(row.From)
	}
	model.SortStable(rows, func(a, b Age) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.WetSeasons, b.WetSeasons))
	})
	return rows
}

func wets(wet Wet, from, to monitor.Day) int {
	whole, part := math.Modf(wet.Between(from, to))
	if part >= monitor.LeastSeason {
		whole++
	}
	return int(whole)
}
