package model

import "slices"

// row is a row of Kinds with all its fields.
type row struct {
	*Kind
	fields []Field
}

var rowByName = func() map[string]row {
	byName := make(map[string]row, len(Kinds))
	for i := range Kinds {
		byName[Kinds[i].Name] = row{&Kinds[i], slices.Clip(Kinds[i].listFields())}
	}
	return byName
}()

// KindNamed returns the row of Kinds with this name.
func KindNamed(name string) (*Kind, bool) {
	r, ok := rowByName[name]
	return r.Kind, ok
}

// AllFields lists every field of the kind: the common ones, a work's, then its own. The
// list of a row of Kinds is made once and shared: it is not to be changed.
func (k *Kind) AllFields() []Field {
	if known, ok := rowByName[k.Name]; ok && known.Kind == k {
		return known.fields
	}
	return k.listFields()
}

func (k *Kind) listFields() []Field {
	if k.Work {
		return slices.Concat(CommonFields, WorkFields, k.Fields)
	}
	return slices.Concat(CommonFields, k.Fields)
}

// FieldNamed returns the kind's field of this name.
func (k *Kind) FieldNamed(name string) (Field, bool) {
	all := k.AllFields()
	for i := range all { // a Field is large to copy
		if all[i].Name == name {
			return all[i], true
		}
	}
	return Field{}, false
}

// withPlace are the fields that belong to a place besides its basis: how good it is, and what the receiver
// or the drawing of it left.
var withPlace = []string{"accuracyM", "gpsHeightM", "gpsHeightsM", "receiver", "drawnThrough"}

// BelongsTo names the field with whose value a field stands or falls: the measured field whose basis it is, the
// place for what tells how that was come by, else the field itself. It is the same in all kinds.
func BelongsTo(field string) string {
	if slices.Contains(withPlace, field) {
		return "geometry"
	}
	is := func(f Field) bool { return f.Basis != "" && f.Basis == field }
	if f, ok := Find(CommonFields, is); ok {
		return f.Name
	}
	for i := range Kinds {
		if f, ok := Find(Kinds[i].Fields, is); ok {
			return f.Name
		}
	}
	return field
}

// CheckFields returns a Problem for each value that is not what the kind's fields allow.
// Fields the table does not know are in order: a newer program may have written them.
// An unknown or empty kind is checked by the common fields alone.
func CheckFields(kind string, set FieldValues) (problems []*Problem) {
	fields := CommonFields
	if r, ok := rowByName[kind]; ok {
		fields = r.fields
	}
	for i := range fields { // a Field is large to copy
		if raw, ok := set.Value(fields[i].Name); ok {
			if p := fields[i].Check(raw); p != nil {
				problems = append(problems, p)
			}
		}
	}
	return problems
}
