package server

import (
	"context"
	"iter"
	"slices"
	"strings"

	"headcut/export"
	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
)

// groupFeatures is how many features are surveyed at once, or more where they belong to one
// gully: enough that the store is read in order, few enough to be no weight.
const groupFeatures = 500

// featureStream passes the features of a property by with their figures and history, gully by
// gully and then those that stand alone, so that its memory does not grow with the property.
// One goroutine at a time runs it and asks it about the feature that is passing.
type featureStream struct {
	s        *Server
	ctx      context.Context
	property string

	figures *figures.PropertyFigures
	now     register.Folded   // the feature that is passing
	called  map[string]string // by id: the names, or the kinds, of those surveyed with it
}

func (s *Server) featureStream(ctx context.Context, property string) *featureStream {
	return &featureStream{s: s, ctx: ctx, property: property}
}

// Of implements [export.Figures].
func (l *featureStream) Of(f model.Feature) figures.Sheet { return l.figures.Of(f) }

// history is what an export says of the passing feature besides its fields.
func (l *featureStream) history(string) export.History {
	f := &l.now
	h := export.History{Version: string(f.Seen.Append(make([]byte, 0, 17))), Struck: f.Struck,
		RecordedBy: f.Recorded.Author, RecordedAt: knownTime(f.Recorded.SeenAt), ChangedBy: f.Changed.Author, ChangedAt: knownTime(f.Changed.SeenAt)}
	for _, clash := range f.Clashes {
		c := export.Clash{Field: clash.Field}
		for _, side := range clash.Values {
			c.Values = append(c.Values, export.Claim{Value: side.Value, Author: side.Author, At: knownTime(side.SeenAt)})
		}
		h.Clashes = append(h.Clashes, c)
	}
	return h
}

// knownTime is a time of an entry, "" when the record did not say when it was made: an
// intake has to write some time into the entry and writes the beginning of 1970.
func knownTime(at string) string {
	if strings.HasPrefix(at, "1970-01-01T00:00:00") {
		return ""
	}
	return at
}

// nameOf is what the item that the passing visit is to is called.
func (l *featureStream) nameOf(id string) string { return l.called[id] }

// features passes every feature once, also what was struck out.
func (l *featureStream) features() iter.Seq2[model.Feature, error] {
	return func(yield func(model.Feature, error) bool) {
		outline, err := l.outline()
		if err != nil {
			yield(model.Feature{}, err)
			return
		}
		for ids := range outline.Groups(groupFeatures) {
			var all []register.Folded
			for f, err := range l.each(func(part string) iter.Seq2[register.Folded, error] { return l.s.store.FeaturesNamed(l.ctx, part, ids) }) {
				if err != nil {
					yield(model.Feature{}, err)
					return
				}
				all = append(all, f)
			}
			models := model.Each(all, register.Folded.Model)
			l.called = map[string]string{}
			for _, f := range models {
				kind, _ := model.KindNamed(f.Kind)
				l.called[f.ID] = f.Text("name")
				if l.called[f.ID] == "" && kind != nil {
					l.called[f.ID] = strings.ToLower(kind.Label)
				}
			}
			l.figures = outline.Survey(func(yield func(model.Feature) bool) {
				for i, f := range all {
					if !f.Struck && !yield(models[i]) {
						return
					}
				}
			})
			for i, f := range all {
				if l.now = f; !yield(models[i], nil) {
					return
				}
			}
		}
		l.figures = outline.Survey(slices.Values([]model.Feature{}))
		for f, err := range l.each(func(part string) iter.Seq2[register.Folded, error] {
			return l.s.store.FeaturesBut(l.ctx, part, outline.Has)
		}) {
			if err != nil {
				yield(model.Feature{}, err)
				return
			}
			if l.now = f; !yield(f.Model(), nil) {
				return
			}
		}
	}
}

func (l *featureStream) each(of func(part string) iter.Seq2[register.Folded, error]) iter.Seq2[register.Folded, error] {
	return l.s.ofParts(l.s.parts(l.property), of)
}

// outline reads which features belong to one gully.
func (l *featureStream) outline() (*figures.Outline, error) {
	outline := figures.NewOutline()
	take := func(add func(model.Feature), kinds ...string) error {
		for f, err := range l.each(func(part string) iter.Seq2[register.Folded, error] {
			return l.s.store.FeaturesOf(l.ctx, part, kinds...)
		}) {
			if err != nil {
				return err
			}
			if !f.Struck {
				add(f.Model())
			}
		}
		return nil
	}
	err := take(outline.Add, figures.OutlineKinds...)
	if err == nil && outline.Homeless() {
		err = take(outline.Near, "thalweg")
	}
	return outline, err
}
