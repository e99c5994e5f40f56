package server

import (
	"cmp"
	"encoding/json"
	"slices"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
)

// sharedVisit is a visit to a feature: what of it is shared besides what figures.Visited has.
type sharedVisit struct {
	id      string // of the visit
	of, on  string // on is "" when the visit is not dated
	by      string // whoever recorded it
	changed register.Word
	offsetM *float64 // taped to a gully head
	judged  bool     // it judged or measured, and did not only photograph
	photos  []string
}

func sharedVisitOf(visit model.Feature, folded register.Folded) sharedVisit {
	l := sharedVisit{id: visit.ID, of: visit.Text("of"), on: dated(visit.Text("observedOn")), by: folded.Recorded.Author, changed: folded.Changed, photos: photoList(visit)}
	if offset, ok := visit.Number("headOffsetM"); ok {
		l.offsetM = &offset
	}
	l.judged = slices.Contains(model.Conditions, visit.Text("condition"))
	for _, name := range figures.MeasuredFields {
		if _, ok := visit.Number(name); ok {
			l.judged = true
		}
	}
	return l
}

// photosOf lists the photos of a feature and of the visits to it, oldest first, each once.
// Those whose day nobody knows come last: they are neither the first nor the newest.
func photosOf(f model.Feature, visits []sharedVisit) []linkPhoto {
	photos := []linkPhoto{}
	add := func(shas []string, on string) {
		for _, sha := range shas {
			if !slices.ContainsFunc(photos, func(p linkPhoto) bool { return p.SHA == sha }) {
				photos = append(photos, linkPhoto{SHA: sha, On: on})
			}
		}
	}
	add(photoList(f), dated(f.Text("observedOn")))
	for _, l := range visits {
		add(l.photos, l.on)
	}
	undated := func(p linkPhoto) int {
		if p.On == "" {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(photos, func(a, b linkPhoto) int {
		return cmp.Or(cmp.Compare(undated(a), undated(b)), cmp.Compare(a.On, b.On))
	})
	return photos
}

func photoList(f model.Feature) []string {
	var shas []string
	raw, ok := f.Fields["photos"]
	field := model.Field{Name: "photos", Type: model.Photos}
	if !ok || field.Check(raw) != nil || json.Unmarshal(raw, &shas) != nil {
		return nil
	}
	return shas
}
