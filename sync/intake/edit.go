package intake

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
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

// StruckOut reports whether the export had the feature as struck out, or may have.
func (o *Ours) StruckOut() bool {
	raw, _ := named(carried(o.columns), "struckOut")
	value, clear := retyped(model.Field{Type: model.YesNo}, raw)
	return !blank(raw) && (!clear || string(value) == "true")
}

// Edit is what a file says otherwise than the export it was made from.
type Edit struct {
	Feature string
	Kind    string
	Name    string
	Changes []Change         // by field; none when the file says what the export said
	Notes   []*model.Problem // of values that are taken, and doubtful
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
	maps.DeleteFunc(e.set, func(name string, _ json.RawMessage) bool {
		return model.BelongsTo(name) == "geometry" && !slices.ContainsFunc(e.Changes, func(c Change) bool { return c.Field == name })
	})
}

// Change is one field of an Edit.
type Change struct {
	Field string          `json:"field"`
	Label string          `json:"label"`
	From  json.RawMessage `json:"from"` // as the editor had it before them; null when unknown
	To    json.RawMessage `json:"to"`
	Words string          `json:"words,omitempty"` // in words, of a place or a level book: what of it changed, and how far
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
	c.sensitive(r.Ours.columns)
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
	author = cmp.Or(author, DefaultAuthor)
	said, err := json.Marshal(e.set)
	if err != nil {
		panic(err) // every value is well-formed JSON: the comparison made it
	}
	digest := sha256.Sum256(fmt.Appendf(nil, "edit\x00%s\x00%s\x00%x\x00%s\x00%s", property, e.Feature, uint64(e.base.Folded().Seen), author, said))
	return entryAfter(e.base, property, e.Feature, author, now, digest, model.FieldValuesOf(e.set))
}

// entryAfter is an entry whose author had seen all of state, and no more. Its stamp is the lowest
// above what was seen: what an officer said in the meantime stays on top.
func entryAfter(state *register.State, property, feature, author string, now time.Time, digest [sha256.Size]byte, set model.FieldValues) register.Entry {
	return register.Entry{
		Version: register.Version, ID: EntryID(now, digest), Property: property, Feature: feature,
		Device: DevicePrefix + hex.EncodeToString(digest[:16]), DeviceSeq: 1, Stamp: state.Stamp() + 1, SeenAt: now.Format(time.RFC3339),
		Author: author, Saw: state.Saw(""), Set: set,
	}
}

// DevicePrefix begins the device of every entry that was taken in from a file.
const DevicePrefix = register.IntakePrefix

// isFigure reports whether a column holds something worked out of features of a kind.
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

// knownElsewhere reports whether a column is a field of another kind.
func knownElsewhere(name string) bool {
	for i := range model.Kinds {
		if _, ok := model.Kinds[i].FieldNamed(name); ok {
			return true
		}
	}
	return false
}
