package server

import (
	"context"
	"encoding/json"
	"io"
	"iter"
	"net/http"
	"slices"
	"strings"
	"time"

	"headcut/export"
	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
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
	file, err := s.packedFile(r.Context(), p.ID, format)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Disposition", "attachment; filename=works"+format.Extension)
	file.send(w, r, format.MediaType, askAgain)
}

// packedFile gives a property's works in a format, as [Server.packedView] gives the page. A
// file says when it was made, so each day has its own.
func (s *Server) packedFile(ctx context.Context, property string, format export.Format) (*packedFile, error) {
	want, err := s.version(ctx, property)
	if err != nil {
		return nil, err
	}
	want.day = s.now().UTC().Format(time.DateOnly)
	key := fileKey{property, format.Name}
	kept := s.files.of(key, newLatest[*packedFile])
	whole := context.WithoutCancel(ctx) // others wait for it too
	return kept.of(ctx, want, func() (file *packedFile, at version, err error) {
		err = when(s.building, func() error {
			files := &linkFiles{s: s, ctx: whole, property: property}
			if at, err = s.version(whole, property); err != nil { // before the features are read: what arrives meanwhile counts as newer
				return err
			}
			at.name, at.day = want.name, want.day
			file, err = packFile(func(w io.Writer) error {
				return format.Write(w, export.Source{Property: at.name, Features: files.features(s.folded(whole, property)), Figures: files, Describe: files.describe, Labels: plainLabels, ForLink: true, ExportedAt: s.now()})
			})
			return err
		})
		if err == nil {
			s.files.weigh(key, kept, len(file.gzip))
		}
		return file, at, err
	})
}

// fileKey names the file of a property in a format.
type fileKey struct{ property, format string }

// linkFiles gives an export what the page shows, in the page's words and digits: none of the
// surveyor's figures, no advice on building, and nothing that gives a hidden feature
// away through its neighbours.
type linkFiles struct {
	s        *Server
	ctx      context.Context
	property string
	passing  map[string]*linkItem // of those that are shown
}

// itemsAtOnce is how many items are worked out together: the book is not held up for longer.
const itemsAtOnce = 200

// features yields what the page shows, each feature with the fields that may leave by it.
// One that changed since the book was renewed leaves only if it still may.
func (l *linkFiles) features(all iter.Seq2[register.Folded, error]) iter.Seq2[model.Feature, error] {
	return func(yield func(model.Feature, error) bool) {
		var next []model.Feature
		pass := func() bool {
			if err := l.s.withBook(l.ctx, l.property, func(b *linkBook) error {
				l.passing = map[string]*linkItem{}
				for _, f := range next {
					if item, ok := b.item(f.ID); ok {
						l.passing[f.ID] = &item
					}
				}
				return nil
			}); err != nil {
				yield(model.Feature{}, err)
				return false
			}
			for _, f := range next {
				if item := l.passing[f.ID]; item != nil && !yield(item.forLink(f), nil) {
					return false
				}
			}
			next = next[:0]
			return true
		}
		for folded, err := range all {
			if err != nil {
				yield(model.Feature{}, err)
				return
			}
			if f := agreed(folded); !folded.Struck && !keptOff(folded) && sharedKind(f.Kind) {
				next = append(next, f)
			}
			if len(next) == itemsAtOnce && !pass() {
				return
			}
		}
		pass()
	}
}

// describe gives the lines of the page about a feature.
func (l *linkFiles) describe(id string) []string {
	item := l.passing[id]
	lines := make([]string, 0, 8)
	for _, text := range item.Wrong {
		if item.State == dangerState {
			text = "Danger: " + text
		}
		lines = append(lines, text)
	}
	lines = append(lines, item.Plain...)
	if item.Seen != "" {
		lines = append(lines, item.Seen)
	}
	for _, fact := range item.Facts {
		lines = append(lines, fact.Label+" "+fact.Text)
	}
	return lines
}

// Of implements [export.Figures].
func (l *linkFiles) Of(f model.Feature) figures.Sheet {
	item := l.passing[f.ID]
	out := figures.Sheet{Cautions: slices.Clone(item.unproven)}
	for _, fig := range item.figures {
		out.Figures = append(out.Figures, asShown(fig))
	}
	if v := item.visited; v != nil {
		out.Visited = &figures.Visited{On: v.On, Condition: v.Condition, ConditionOn: v.ConditionOn, Measured: v.Measured}
	}
	if item.State != dangerState { // a hazard has a column of its own
		for _, text := range item.Wrong {
			out.Cautions = append(out.Cautions, model.Caution{Text: text})
		}
	}
	return out
}

// forLink is a feature with the fields that may leave by a link: its name and place, what is
// dangerous at a hazard, the stage of a work, and the fields of its kind that the page
// shows too. What a figure says is not said a second time.
func (item *linkItem) forLink(f model.Feature) model.Feature {
	out := model.Feature{ID: f.ID, Kind: f.Kind, Geometry: f.Geometry, Fields: map[string]json.RawMessage{}}
	take := func(name string) {
		if raw, ok := f.Fields[name]; ok {
			out.Fields[name] = raw
		}
	}
	for _, name := range []string{"kind", "name", "geometry"} {
		take(name)
	}
	kind, _ := model.KindNamed(f.Kind)
	if kind.Name == "hazard" { // a file must warn as the page does
		take("danger")
	}
	if kind.Work {
		take("status")
		for _, status := range model.Statuses { // and not what it cost
			take(status.DateField())
		}
		if item.Status == model.Failed {
			out.Fields["status"] = json.RawMessage(`"` + model.Failed + `"`)
		}
	}
	if len(item.Facts) == 0 {
		return out
	}
	for field := range ownFields(kind, item.figures) {
		if field.Basis != "" {
			take(field.Basis)
		}
		if worded(f, field) != "" {
			take(field.Name)
		}
	}
	return out
}
