package server

import (
	"cmp"
	"encoding/json"
	"slices"

	"headcut/model"
)

// look is a dated visit to a feature, of which the day, the condition and the photos are shared.
type look struct {
	of, on, condition string
	photos            []string
}

func lookOf(visit model.Feature) look {
	l := look{of: visit.Text("of"), on: visit.Text("observedOn"), photos: photoList(visit)}
	kind, _ := model.KindNamed("visit")
	if field, ok := kind.FieldNamed("condition"); ok && slices.Contains(field.Choices, visit.Text("condition")) {
		l.condition = visit.Text("condition")
	}
	return l
}

// photosOf lists the photos of a feature and of the visits to it, oldest first, each once.
func photosOf(f model.Feature, looks []look) []landPhoto {
	photos := []landPhoto{}
	add := func(shas []string, on string) {
		for _, sha := range shas {
			if !slices.ContainsFunc(photos, func(p landPhoto) bool { return p.SHA == sha }) {
				photos = append(photos, landPhoto{SHA: sha, On: on})
			}
		}
	}
	add(photoList(f), f.Text("observedOn"))
	for _, l := range looks {
		add(l.photos, l.on)
	}
	slices.SortStableFunc(photos, func(a, b landPhoto) int { return cmp.Compare(a.On, b.On) })
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
