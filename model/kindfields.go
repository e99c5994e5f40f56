package model

import (
	"slices"
)

// row is a row of Kinds with what is worked out of it once.
type row struct {
	*Kind
	fields []Field
	places []uint64 // of the names of fields
}

func newRow(k *Kind, fields []Field) *row {
	r := &row{Kind: k, fields: slices.Clip(fields), places: make([]uint64, len(fields))}
	for i := range fields {
		r.places[i] = namePlace(fields[i].Name)
	}
	return r
}

var (
	rowByName = func() map[string]*row {
		byName := make(map[string]*row, len(Kinds))
		for i := range Kinds {
			byName[Kinds[i].Name] = newRow(&Kinds[i], Kinds[i].listFields())
		}
		return byName
	}()
	commonRow = newRow(nil, CommonFields)
)

// KindNamed returns the row of Kinds with this name.
func KindNamed(name string) (*Kind, bool) {
	if r, ok := rowByName[name]; ok {
		return r.Kind, true
	}
	return nil, false
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

// CheckFields returns a Problem for each value that is not what the kind's fields allow.
// Fields the table does not know are in order: a newer program may have written them.
// An unknown or empty kind is checked by the common fields alone.
func CheckFields(kind string, set FieldValues) []*Problem {
	r, ok := rowByName[kind]
	if !ok {
		r = commonRow
	}
	var problems []*Problem
	var there uint64 // the places of the names in set: most fields are not in it
	for i := range set {
		there |= namePlace(set[i].Name)
	}
	for i, place := range r.places {
		if there&place == 0 {
			continue
		}
		if raw, ok := set.Value(r.fields[i].Name); ok {
			if p := r.fields[i].Check(raw); p != nil {
				problems = append(problems, p)
			}
		}
	}
	return problems
}

// namePlace is one of 64 bits, by length and first letter.
func namePlace(name string) uint64 {
	if name == "" {
		return 0
	}
	return 1 << ((uint(len(name))*7 + uint(name[0])) % 64)
}
