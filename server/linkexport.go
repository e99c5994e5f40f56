package server

import (
	"encoding/json"
	"iter"
	"net/http"
	"slices"
	"strings"

	"headcut/export"
	"headcut/model"
	"headcut/model/figures"
)

// handleLinkExport gives a landholder the works as a file: "works.kml", "works.geojson".
func (s *Server) handleLinkExport(w http.ResponseWriter, r *http.Request) {
	p, ok := s.openLink(w, r)
	if !ok {
		return
	}
	stem, ending, _ := strings.Cut(r.PathValue("file"), ".")
	format, ok := export.Named(ending)
	if stem != "works" || !ok {
		refuse(w, http.StatusNotFound, &model.Problem{Path: "file", Reason: "there is no such file", Fix: "ask for works.kml or works.geojson"})
		return
	}
	w.Header().Set("Content-Disposition", "attachment; filename=works"+format.Extension)
	stream := s.landStream(r.Context(), p.ID, false)
	s.sendExport(w, r, format, export.Source{Property: p.Name, Features: linkFeatures(stream.features()), Figures: &linkSheets{landStream: stream}, Labels: plainLabels, Measure: measureInWords, ForLink: true, ExportedAt: s.now()})
}

// linkSheets gives an export the figures and checks that the page shows too: none of the
// surveyor's, no advice on building, and nothing that tells of a hidden feature through
// its neighbours.
type linkSheets struct {
	*landStream
	of        *figures.Land
	unchecked map[string]bool // as landSectionsOf returns them, of that land
}

// Of implements [export.Figures].
func (l *linkSheets) Of(f model.Feature) figures.Sheet {
	if l.of != l.land {
		l.of = l.land
		_, l.unchecked = landSectionsOf(l.land.LongSections(), l.hidden, nil)
	}
	sheet := l.land.Of(f)
	out := figures.Sheet{Visited: inspection(sheet.Visited)}
	for _, c := range sheet.Cautions { // of the condition that a visit found, never advice on building
		if c.About == "condition" {
			out.Cautions = append(out.Cautions, c)
		}
	}
	if l.unchecked[f.ID] {
		sheet = alone(f)
	}
	for _, fig := range sheet.Figures {
		if slices.Contains(plainFigures, fig.Name) {
			if kind, ok := model.KindNamed(f.Kind); ok {
				fig.Label = plainName(kind, fig.Name, fig.Label)
			}
			out.Figures = append(out.Figures, fig)
		}
	}
	for _, c := range sheet.Checks {
		if c.Verdict == model.Fails && f.Status() == model.Built {
			c.Text = failing(c, sheet)
			out.Checks = append(out.Checks, c)
		}
	}
	return out
}

// inspection is what a link tells of visits: when it was last inspected and the condition.
func inspection(v *figures.Visited) *figures.Visited {
	if v == nil {
		return nil
	}
	return &figures.Visited{On: v.On, Condition: v.Condition, ConditionOn: v.ConditionOn, Measured: []figures.Measured{}}
}

// linkFeatures yields what a link shows, each feature with the fields that may leave by it.
func linkFeatures(features iter.Seq2[model.Feature, error]) iter.Seq2[model.Feature, error] {
	return func(yield func(model.Feature, error) bool) {
		for f, err := range features {
			if err != nil {
				yield(f, err)
				return
			}
			if shared(f) && !yield(forLink(f), nil) {
				return
			}
		}
	}
}

// linkFields are the fields of every shared feature that may leave by a link; a work's
// own and its kind's may too, and what is dangerous at a hazard. Notes, photos and fields of newer programs never do.
var linkFields = []string{"kind", "name", "geometry"}

func forLink(f model.Feature) model.Feature {
	allowed := slices.Clone(linkFields)
	kind, _ := model.KindNamed(f.Kind)
	if kind.Name == "hazard" { // a file must warn as the page does
		allowed = append(allowed, "danger")
	}
	if kind.Work {
		for _, field := range slices.Concat(model.WorkFields, kind.Fields) {
			allowed = append(allowed, field.Name)
		}
	}
	out := model.Feature{ID: f.ID, Kind: f.Kind, Geometry: f.Geometry, Fields: map[string]json.RawMessage{}}
	for _, name := range allowed {
		if raw, ok := f.Fields[name]; ok {
			out.Fields[name] = raw
		}
	}
	return out
}
