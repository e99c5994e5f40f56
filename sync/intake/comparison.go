package intake

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"headcut/model"
)

type comparison struct {
	record   Record
	feature  model.Feature
	kind     *model.Kind
	edit     *Edit
	struck   bool // the editor had it before them as struck out
	problems []*model.Problem
}

func (c *comparison) leaveOut(column, reason, fix string) {
	if !strings.Contains(reason, c.called()) {
		reason = c.called() + ": " + reason
	}
	c.problems = append(c.problems, &model.Problem{Line: c.record.Line, Path: column, Reason: reason + ": left out", Fix: fix})
}

// ownColumns are columns that an export works out; what a file says in them is not read.
var ownColumns = []string{"uid", "version", "checks", "cautions", "recordedBy", "recordedAt", "changedBy", "changedAt", "clashes",
	"id", "fid", "ogc_fid", "objectid", "layer", "path"} // the last are row numbers and origins that desktop programs add

// column compares one column with the field it was written from.
func (c *comparison) column(m member) {
	if m.name == "kind" {
		c.kindColumn(m.raw)
		return
	}
	if c.sensitiveColumn(m.name) {
		return // see sensitive
	}
	if m.name == "struckOut" {
		c.struckColumn(m.raw)
		return
	}
	if slices.Contains(ownColumns, strings.ToLower(m.name)) || slices.Contains(ownColumns, m.name) || strings.HasSuffix(m.name, "AsRecorded") {
		return
	}
	if field, ok := c.kind.FieldNamed(m.name); ok && field.Type != model.Place {
		c.field(field, m.raw)
		return
	}
	if isFigure(c.kind.Name, m.name) {
		return
	}
	for name, raw := range c.feature.Fields {
		if model.ColumnName(name) == m.name {
			c.field(model.Field{Name: name, Label: name, Type: typeOf(raw)}, m.raw)
			return
		}
	}
	if blank(m.raw) {
		return
	}
	if c.cutOff(m) {
		return
	}
	if knownElsewhere(m.name) {
		c.edit.Notes = append(c.edit.Notes, &model.Problem{Line: c.record.Line, Path: m.name, Reason: c.called() + ": is no field of a " + strings.ToLower(c.kind.Label) + ", kept as " + xField(m.name)})
	}
	clean, _ := cleanJSON(m.raw)
	value := plainValue(clean)
	c.field(model.Field{Name: xField(m.name), Label: m.name, Type: typeOf(value)}, value)
}

// struckColumn says what to do instead, where a file strikes out or restores.
func (c *comparison) struckColumn(raw json.RawMessage) {
	value, ok := retyped(model.Field{Type: model.YesNo}, raw)
	switch struck := string(value) == "true"; {
	case !ok || struck == c.struck:
	case struck:
		c.leaveOut("struckOut", "a file strikes nothing out: "+c.called()+" stays", "strike it out on its own page of the field page")
	default:
		c.leaveOut("struckOut", "a file restores nothing: "+c.called()+" stays struck out", c.howToRestore())
	}
}

func (c *comparison) called() string { return cmp.Or(c.edit.Name, c.edit.Feature) }

func (c *comparison) howToRestore() string {
	return "restore it with 'headcut intake --data DIR --property NAME --restore " + c.edit.Feature + "', or on its own page of the field page"
}

func (c *comparison) kindColumn(raw json.RawMessage) {
	text, _ := textOf(raw)
	kind := kindOf(text)
	switch {
	case blank(raw) || kind == c.feature.Kind || text == c.feature.Kind:
	case kind == "":
		c.leaveOut("kind", quote(text)+" names no kind", "")
	default:
		if reason := misfit(kind, c.record.Ours.geometry); reason != "" {
			c.leaveOut("kind", reason, "")
			return
		}
		c.change(model.Field{Name: "kind", Label: "Kind"}, rawText(kind))
	}
}

// field compares a column with a field, of whose type a desktop program may have made another.
func (c *comparison) field(field model.Field, raw json.RawMessage) {
	before, has := c.feature.Fields[field.Name]
	has = has && shown(field, before)
	if !has && c.record.Ours.Unversioned && strings.HasSuffix(field.Name, "Basis") {
		return // exports of old worked out how a value was measured, where nobody had recorded it
	}
	if blank(raw) {
		if has && string(before) != `""` {
			c.change(field, json.RawMessage("null"))
		}
		return
	}
	after, ok := retyped(field, raw)
	switch {
	case !ok && has && field.Type == model.Date && slices.Contains(daysIn(plain(raw)), plain(before)): // as a spreadsheet writes it
	case !ok:
		fix := ""
		if field.Type == model.Date {
			fix = "write the year, month and day, as in 2025-03-20"
		}
		reason := " is not " + article(field.Type)
		if field.Type == model.Date && len(daysIn(plain(raw))) > 1 {
			reason = " is either of two dates"
		}
		c.leaveOut(field.Name, quote(plain(raw))+reason, fix)
	case has && same(field, before, after):
	case field.Check(after) != nil:
		c.leaveOut(field.Name, field.Check(after).Reason, field.Check(after).Fix)
	case wrongDay(field, after, c.record.today) != "":
		c.leaveOut(field.Name, wrongDay(field, after, c.record.today), "")
	case len(after) > fieldRoom:
		c.leaveOut(field.Name, fmt.Sprintf("has %d bytes, and an entry has room for %d", len(after), fieldRoom), "")
	default:
		c.change(field, after)
		if field.Type == model.LevelRows {
			c.book(before, after)
		}
	}
}

// book says which cells of a level book changed, and what its reduction finds wrong with it now.
func (c *comparison) book(before, after json.RawMessage) {
	c.edit.Changes[len(c.edit.Changes)-1].Words = bookChange(before, after)
	var rows []model.LevelRow
	if json.Unmarshal(after, &rows) != nil || len(rows) == 0 {
		return // its field's check has seen it
	}
	_, reason, fix := bookFault(rows)
	if reason == "" {
		reason, fix = noLevels(rows)
	}
	if reason != "" {
		c.edit.Notes = append(c.edit.Notes, &model.Problem{Line: c.record.Line, Reason: c.called() + ": " + reason, Fix: fix})
	}
}

func (c *comparison) change(field model.Field, to json.RawMessage) {
	from, ok := c.feature.Fields[field.Name]
	if !ok {
		from = json.RawMessage("null")
	}
	c.edit.set[field.Name] = to
	c.edit.Changes = append(c.edit.Changes, Change{Field: field.Name, Label: field.Label, From: from, To: to})
}

// place compares the place. One that was moved in a desktop program was drawn there: it is
// from no receiver any more, and nobody said how good it is.
func (c *comparison) place() {
	now := c.record.Ours.geometry
	switch {
	case c.record.Ours.WithoutPlace, samePlace(c.feature.Geometry, now):
		return
	case now == nil:
		c.leaveOut("geometry", "the file has no place for it: the one it has stays", "")
		return
	case misfit(c.feature.Kind, now) != "":
		c.leaveOut("geometry", misfit(c.feature.Kind, now), "")
		return
	}
	raw := json.RawMessage(model.AppendGeometry(nil, now)) // which an entry holds, or the record was left out
	c.change(model.Field{Name: "geometry", Label: "Place"}, raw)
	c.edit.Changes[len(c.edit.Changes)-1].Words = moved(c.feature.Geometry, now)
	c.edit.set["positionBasis"] = rawText(string(model.Drawn))
	for _, name := range []string{"accuracyM", "gpsHeightM", "gpsHeightsM"} {
		if _, ok := c.feature.Fields[name]; ok {
			c.edit.set[name] = json.RawMessage("null")
		}
	}
}
