package server

import (
	"cmp"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
)

// sharedOthers are the kinds besides works that a landholder sees: enough to know the
// place by, what erodes, and what can hurt.
var sharedOthers = []string{"gully-head", "thalweg", "gully-edge", "scald", "track", "fence", "photo-point", "hazard", "property-boundary", "homestead", "gate"}

// plainLabels are for kinds whose trade word a landholder may not know.
var plainLabels = map[string][2]string{"thalweg": {"Gully bed", "Gully beds"}}

// plainWhat says what things besides works are, for someone who does not know the word.
var plainWhat = map[string]string{
	"gully-head":  "The step at the top of a gully, where it cuts back uphill.",
	"scald":       "Bare ground with a hard surface that sheds the rain.",
	"photo-point": "A place from which the same picture is taken again and again.",
}

// sharedKind reports whether features of a kind may be shown to whoever holds the link, unless they are
// kept off.
func sharedKind(name string) bool {
	kind, ok := model.KindNamed(name)
	return ok && (kind.Work || slices.Contains(sharedOthers, name))
}

func linkKindOf(k *model.Kind) linkKind {
	row := linkKind{
		Name: k.Name, Label: k.Label, Plural: k.Plural, Work: k.Work,
		Mark: k.Mark, Colour: k.Colour, What: cmp.Or(k.What, plainWhat[k.Name]), Care: k.Care,
	}
	if plain, ok := plainLabels[k.Name]; ok {
		row.Label, row.Plural = plain[0], plain[1]
	}
	return row
}

// dayOf is the day of an entry, by the clock of its device.
func dayOf(entry register.Word) string {
	day, _, _ := strings.Cut(knownTime(entry.SeenAt), "T")
	return dated(day)
}

// dated is a date, or "" when the text is none.
func dated(text string) string {
	if isDate(text) {
		return text
	}
	return ""
}

// damHeight is how high a dam stands or is to stand above its toe, in metres.
type damHeight struct {
	m       float64
	planned bool // nobody measured it
}

// heightOf is the height as measured, else as it was planned.
func heightOf(f model.Feature) (damHeight, bool) {
	if heightM, ok := f.Number("crestHeightM"); ok {
		return damHeight{heightM, f.Basis("crestHeightM") == model.FromPlan}, true
	}
	toeM, toe := f.Number("toeLevelM")
	crestM, crest := f.Number("targetCrestLevelM")
	return damHeight{crestM - toeM, true}, toe && crest
}

// sheet is what may be shown of the figures and checks of a feature.
func (g *linkBook) sheet(f model.Feature) figures.Sheet {
	sheet, _ := g.sheets.Sheet(f.ID)
	if g.dams[f.ID].unchecked { // they would give a hidden dam away
		visited := sheet.Visited
		sheet = alone(f)
		sheet.Visited = visited
	}
	return sheet
}

// alone is the sheet of a feature without the others, and so without checks, which compare them.
func alone(f model.Feature) figures.Sheet {
	sheet := figures.Survey(func(yield func(model.Feature) bool) { yield(f) }).Of(f)
	sheet.Checks = nil
	return sheet
}

func itemOf(f model.Feature, visits []sharedVisit) linkItem {
	return linkItem{
		ID: f.ID, Kind: f.Kind, Name: f.Text("name"), Geometry: model.AppendGeometry(nil, placed(f.Geometry)),
		Plain: []string{}, Wrong: []string{}, Facts: []linkFact{}, Photos: photosOf(f, visits),
	}
}

// placed is a geometry to a centimetre: no position here is finer.
func placed(g orb.Geometry) orb.Geometry {
	if g == nil {
		return nil
	}
	return orb.Round(orb.Clone(g), 1e7)
}

func (g *linkBook) workOf(kind *model.Kind, f model.Feature) linkItem {
	visits := g.visits[f.ID]
	sheet := g.sheet(f)
	w := itemOf(f, visits)
	if status := f.Status(); slices.Contains(model.Statuses, status) {
		w.Status, w.StatusOn, w.BuiltOn = status, dated(f.Text(status.DateField())), dated(f.Text("builtOn"))
		if status == model.Proposed || status == model.Pegged {
			w.BuiltOn = ""
		}
	}
	w.visited, w.figures, w.unproven = sheet.Visited, figuresOf(kind, sheet), sheet.Unproven()
	w.Facts = g.factsOf(kind, f, sheet)
	humpM := g.dams[f.ID].humpM
	state, wrong, found := workState(f, sheet, humpM)
	w.State, w.Wrong, w.Seen = state, wrong, seenOf(f, sheet.Visited, found)
	if text := statusSentence(f); text != "" {
		w.Plain = append(w.Plain, text)
	}
	seenOn := visitedOn(sheet.Visited)
	w.inspected = f.Status() == model.Failed || seenOn != "" && seenOn >= w.BuiltOn
	if state == failedState && found != "" {
		w.Status, w.StatusOn = model.Failed, found
	}
	for _, check := range sheet.Checks {
		if f.Status() == model.Built && drowns(check, sheet, humpM) {
			w.Plain = append(w.Plain, failing(check, sheet, humpM))
		}
	}
	return w
}

// usesSheet reports whether the item of a feature depends on its figures.
func (g *linkBook) usesSheet(kind *model.Kind, id string) bool {
	return kind.Work || len(g.visits[id]) > 0 || kind.Name == "gully-head" || kind.Name == "scald"
}

func (g *linkBook) otherOf(kind *model.Kind, f model.Feature) linkItem {
	visits := g.visits[f.ID]
	o := itemOf(f, visits)
	var sheet figures.Sheet
	if g.usesSheet(kind, f.ID) {
		sheet = g.sheet(f)
	}
	o.visited = sheet.Visited
	found := ""
	if f.Kind == "hazard" {
		o.State = dangerState
		if danger := f.Text("danger"); danger != "" {
			o.Wrong = append(o.Wrong, danger)
		}
	} else if o.State, o.Wrong, found = foundState(sheet.Visited); o.State != "" {
		o.State = attentionState // only works fail
	}
	if f.Kind == "gully-head" {
		moved, moving := headMovement(visits)
		if moving {
			o.State = attentionState
		}
		if o.State != "" {
			o.Wrong = append(moved, o.Wrong...)
		} else {
			o.Plain = append(o.Plain, moved...)
		}
	}
	if f.Kind == "gully-head" || f.Kind == "scald" {
		o.figures = figuresOf(kind, sheet)
		o.Facts = g.factsOf(kind, f, sheet)
	}
	o.Seen = inspected(sheet.Visited, found)
	return o
}
