package intake

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/register"
)

// Ours is what marks a feature of a file as one of a register's own exports: its id and the
// version that the editor had before them. Exports of old had no version, and the columns of
// another program may have an id under the same name: only a register can tell whether it is
// its own.
type Ours struct {
	UID         string
	Version     register.Fingerprint
	Unversioned bool

	// WithoutPlace: a row of a table that has no column for places but a point's, such as the
	// row of a line. It says nothing of the place, and is of no use but as an edit.
	WithoutPlace bool

	columns  []member // as the file gives them
	geometry orb.Geometry
}

// oursOf recognises a feature of an export by its columns.
func oursOf(columns []member, geometry orb.Geometry) *Ours {
	uid, _ := named(columns, "uid")
	version, _ := named(columns, "version")
	id, _ := textOf(uid)
	text, _ := textOf(version)
	seen, ok := register.ParseFingerprint(text)
	if id == "" {
		return nil
	}
	return &Ours{UID: id, Version: seen, Unversioned: !ok, columns: columns, geometry: geometry}
}

// Edit is what a file says otherwise than the export it was made from.
type Edit struct {
	Feature string
	Kind    string
	Name    string
	Changes []Change // by field; none when the file says what the export said
	set     map[string]json.RawMessage
	base    *register.State
}

// Place is the place that the file gives the feature; nil when it has the one it had.
func (e Edit) Place() json.RawMessage { return e.set["geometry"] }

// Values are the values that the edit gives, by field.
func (e Edit) Values() map[string]json.RawMessage { return e.set }

// KeepPlace takes the place out of the edit.
func (e *Edit) KeepPlace() {
	e.Changes = slices.DeleteFunc(e.Changes, func(c Change) bool { return c.Field == "geometry" })
	for _, name := range []string{"geometry", "positionBasis", "accuracyM", "gpsHeightM", "gpsHeightsM"} {
		if !slices.ContainsFunc(e.Changes, func(c Change) bool { return c.Field == name }) {
			delete(e.set, name)
		}
	}
}

// Change is one field of an Edit.
type Change struct {
	Field string          `json:"field"`
	Label string          `json:"label"`
	From  json.RawMessage `json:"from"` // as the editor had it before them; null when unknown
	To    json.RawMessage `json:"to"`
	Moved string          `json:"moved,omitempty"` // of a place: how far, from where and to where, in words
}

// EditOf compares the record with the state that its editor had before them, which is folded
// from the feature's entries, given by number. found is false when no beginning of the entries
// gives that state. Problems name what was left out.
func (r Record) EditOf(entries []register.Numbered) (edit Edit, found bool, problems []*model.Problem) {
	var base *register.State
	for n := len(entries); n > 0 && base == nil; n-- {
		if s := register.Gather(r.Ours.UID, entries[:n]); s.Folded().Seen == r.Ours.Version {
			base = s
		}
	}
	if base == nil {
		return Edit{}, false, nil
	}
	edit, problems = r.comparedWith(base)
	return edit, true, problems
}

// Differs compares a record without a version with its feature, which is folded from its
// entries. The changes are those from the newest state; there are none when the file says
// what some state said, newest or former: nobody edited it then.
func (r Record) Differs(entries []register.Numbered) []Change {
	var newest []Change
	for n := len(entries); n > 0; n-- {
		edit, problems := r.comparedWith(register.Gather(r.Ours.UID, entries[:n]))
		if len(edit.Changes) == 0 && len(problems) == 0 {
			return nil
		}
		if n == len(entries) {
			newest = edit.Changes
			for _, p := range problems { // what could be no edit either differs too
				newest = append(newest, Change{Field: p.Path, Label: p.Path})
			}
		}
	}
	return newest
}

// comparedWith is what the record says otherwise than a state of its feature.
func (r Record) comparedWith(base *register.State) (edit Edit, problems []*model.Problem) {
	folded := base.Folded()
	f := folded.Model()
	edit = Edit{Feature: r.Ours.UID, Kind: f.Kind, Name: f.Text("name"), set: map[string]json.RawMessage{}, base: base}
	c := comparison{record: r, feature: f, edit: &edit, struck: folded.Struck}
	c.kind, _ = model.KindNamed(f.Kind)
	if c.kind == nil {
		c.kind = &model.Kind{Name: f.Kind}
	}
	for _, column := range r.Ours.columns {
		c.column(column)
	}
	switch {
	case !folded.Struck:
		c.place()
	case len(edit.Changes) > 0:
		edit.Changes, edit.set = nil, nil
		c.leaveOut("", c.called()+" is struck out, and edited in the file", c.howToRestore()+" first")
	}
	return edit, c.problems
}

// Entry is the entry that says the edit: that its author had seen the base and no more, so
// that whatever changed since is a clash. Its device follows from what it says: an edit that
// is in the register already is found by it.
func (e Edit) Entry(property, author string, now time.Time) register.Entry {
	if author == "" {
		author = DefaultAuthor
	}
	said, err := json.Marshal(e.set)
	if err != nil {
		panic(err) // every value is well-formed JSON: the comparison made it
	}
	digest := sha256.Sum256(fmt.Appendf(nil, "edit\x00%s\x00%s\x00%x\x00%s\x00%s", property, e.Feature, uint64(e.base.Folded().Seen), author, said))
	return register.Entry{
		Version: register.Version, ID: entryID(now, digest), Property: property, Feature: e.Feature,
		Device: DevicePrefix + hex.EncodeToString(digest[:16]), DeviceSeq: 1,
		// The lowest stamp above what was seen: what an officer said in the meantime stays on top.
		Stamp: e.base.Stamp() + 1, SeenAt: now.Format(time.RFC3339), Author: author, Saw: e.base.Saw(""), Set: e.set,
	}
}

// DevicePrefix begins the device of every entry that was taken in from a file.
const DevicePrefix = "intake-"

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
		if columnOf(name) == m.name {
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
	c.field(model.Field{Name: xField(m.name), Label: m.name, Type: typeOf(m.raw)}, m.raw)
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

// field compares a column with a field, whatever a desktop program made of its type.
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
	case !ok:
		fix := ""
		if field.Type == model.Date {
			fix = "write the year, month and day, as in 2025-03-20"
		}
		c.leaveOut(field.Name, quote(plain(raw))+" is not "+article(field.Type), fix)
	case has && same(field, before, after):
	case field.Check(after) != nil:
		c.leaveOut(field.Name, field.Check(after).Reason, field.Check(after).Fix)
	case wrongDay(field, after, c.record.today) != "":
		c.leaveOut(field.Name, wrongDay(field, after, c.record.today), "")
	case len(after) > fieldRoom:
		c.leaveOut(field.Name, fmt.Sprintf("has %d bytes, and an entry has room for %d", len(after), fieldRoom), "")
	default:
		c.change(field, after)
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
	raw := json.RawMessage(model.AppendGeometry(nil, now))
	if len(raw) > fieldRoom {
		c.leaveOut("geometry", fmt.Sprintf("has %d bytes, and an entry has room for %d", len(raw), fieldRoom), "")
		return
	}
	c.change(model.Field{Name: "geometry", Label: "Place"}, raw)
	c.edit.Changes[len(c.edit.Changes)-1].Moved = moved(c.feature.Geometry, now)
	c.edit.set["positionBasis"] = rawText(string(model.Drawn))
	for _, name := range []string{"accuracyM", "gpsHeightM", "gpsHeightsM"} {
		if _, ok := c.feature.Fields[name]; ok {
			c.edit.set[name] = json.RawMessage("null")
		}
	}
}

// isFigure tells whether a column holds something worked out of features of a kind.
func isFigure(kind, name string) bool {
	plain := name
	if rest, ok := strings.CutPrefix(name, "computed"); ok && rest != "" {
		plain = strings.ToLower(rest[:1]) + rest[1:]
	}
	kinds := []string{kind}
	for _, k := range model.Kinds {
		kinds = append(kinds, k.Name)
	}
	for _, k := range kinds { // programs write the columns of all kinds for each
		for _, f := range figures.Columns(k) {
			if plain == f.Name || plain == f.PlusMinusName || plain == f.BasisName {
				return true
			}
		}
	}
	return slices.Contains(figures.VisitedColumns, name)
}

// knownElsewhere tells whether a column is a field of another kind.
func knownElsewhere(name string) bool {
	for i := range model.Kinds {
		if _, ok := model.Kinds[i].FieldNamed(name); ok {
			return true
		}
	}
	return false
}

// columnOf is the name of the column that an export gives to a field of this name.
func columnOf(field string) string {
	name := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_' {
			return r
		}
		return '_'
	}, field)
	if name == "" || name[0] >= '0' && name[0] <= '9' {
		name = "_" + name
	}
	return name
}

// blank is what desktop programs write for a value that is not there.
func blank(raw json.RawMessage) bool {
	text := strings.TrimSpace(string(raw))
	return text == "" || text == "null" || text == `""`
}

// typeOf is the type of a field that the table of kinds does not know.
func typeOf(raw json.RawMessage) model.FieldType {
	switch text := strings.TrimSpace(string(raw)); {
	case text == "true" || text == "false":
		return model.YesNo
	case text != "" && (text[0] == '-' || text[0] >= '0' && text[0] <= '9'):
		return model.Number
	case text != "" && (text[0] == '[' || text[0] == '{'):
		return model.Numbers // any JSON
	}
	return model.Text
}

// shown tells whether an export has the value in its column: one of another type than the
// field's stands in a column of its own.
func shown(field model.Field, raw json.RawMessage) bool {
	switch field.Type {
	case model.Number, model.Integer, model.YesNo, model.Date, model.Instant:
		return field.Check(raw) == nil && !blank(raw)
	case model.Text, model.Choice, model.Reference:
		_, ok := textOf(raw)
		return ok
	}
	return !blank(raw)
}

// retyped reads a value as a field's type, whatever type a program gave it on the way.
func retyped(field model.Field, raw json.RawMessage) (json.RawMessage, bool) {
	clean, _ := cleanJSON(raw)
	text, isText := textOf(clean)
	if !isText {
		text = string(clean)
	}
	text = strings.TrimSpace(text)
	switch field.Type {
	case model.Number, model.Integer:
		d, reason := parseDecimal(text)
		if reason != "" || field.Type == model.Integer && d.value != math.Trunc(d.value) {
			return nil, false
		}
		return rawNumber(d.value), true
	case model.YesNo:
		switch strings.ToLower(text) {
		case "true", "1", "t", "yes", "y":
			return json.RawMessage("true"), true
		case "false", "0", "f", "no", "n":
			return json.RawMessage("false"), true
		}
		return nil, false
	case model.Date:
		day := strings.ReplaceAll(text[:min(len(text), len(time.DateOnly))], "/", "-")
		if _, err := time.Parse(time.DateOnly, day); err != nil {
			return nil, false
		}
		return rawText(day), true
	case model.Instant:
		t, ok := anyInstant(text)
		if !ok {
			return nil, false
		}
		return rawText(t.Format(time.RFC3339Nano)), true
	case model.Text, model.Choice, model.Reference:
		if now, old := field.Was[text]; old { // an export of old
			return rawText(now), true
		}
		if isText {
			return clean, true
		}
		return rawText(text), true
	}
	if isText { // lists are JSON text in a file
		if !json.Valid([]byte(text)) {
			return clean, field.Type == model.Numbers
		}
		clean, _ = cleanJSON(json.RawMessage(text))
	}
	return clean, true
}

// anyInstant reads a time as RFC 3339 writes it, and as GDAL does.
func anyInstant(text string) (time.Time, bool) {
	for _, form := range []string{time.RFC3339Nano, "2006/01/02 15:04:05.999-07", "2006/01/02 15:04:05.999-0700", "2006/01/02 15:04:05.999", "2006-01-02T15:04:05.999"} {
		if t, err := time.Parse(form, text); err == nil {
			return t, true
		}
	}
	return time.Time{}, false
}

// same compares two values of a field. Numbers may lose their last digits on the way through
// other programs.
func same(field model.Field, a, b json.RawMessage) bool {
	switch field.Type {
	case model.Number, model.Integer:
		var x, y float64
		return json.Unmarshal(a, &x) == nil && json.Unmarshal(b, &y) == nil && math.Abs(x-y) <= 1e-9*max(1, math.Abs(x))
	case model.Instant:
		x, _ := textOf(a)
		y, _ := textOf(b)
		s, ok := anyInstant(x)
		t, and := anyInstant(y)
		return ok && and && s.Equal(t)
	case model.Text, model.Choice, model.Reference:
		x, _ := textOf(a)
		y, _ := textOf(b)
		return settled(x) == settled(y)
	}
	var x, y any
	return json.Unmarshal(a, &x) == nil && json.Unmarshal(b, &y) == nil && reflect.DeepEqual(x, y)
}

// settled is a text without what programs change in passing.
func settled(text string) string {
	return strings.TrimSpace(strings.ReplaceAll(cleanText(text), "\r\n", "\n"))
}

func article(of model.FieldType) string {
	switch of {
	case model.Number:
		return "a number"
	case model.Integer:
		return "a whole number"
	case model.YesNo:
		return "yes or no"
	case model.Date:
		return "a date"
	case model.Instant:
		return "a time"
	}
	return strconv.Quote(string(of))
}
