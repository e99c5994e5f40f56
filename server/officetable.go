package server

import (
	"encoding/json"
	"maps"
	"slices"
	"time"
)

// filed is what every record of the office has: its id, which is its feature in the office's
// register, its row in the list of its kind, from 1 on, which never changes, and when it was made.
type filed struct {
	id   string
	row  int
	made time.Time
}

func (f *filed) filing() *filed { return f }
func (*filed) names() []string  { return nil }
func (*filed) apart() string    { return "" }

// key is a value by which records are found.
type key struct {
	by    keyOf
	value string
}

type keyOf uint8

const (
	byToken    keyOf = iota // of a device, hashed
	byDevice                // a device by its id, the codes that enrol one again
	byFollower              // the devices that were enrolled again as one
	byName                  // a property or a device by what people call it, a link by whom it is for: see spelt
	byProperty              // the devices that were given a property, the links that show it
	byBeginner              // the properties that a device began
	byTarget                // the properties that were merged into one
	bySecret                // a code or a link, hashed
	byURL                   // an address
	byNumber                // an intake
)

// filable is a record, with the values by which it is found.
type filable[R any] interface {
	*R
	filing() *filed
	kind() string
	keys() []key     // those without a value are left out
	names() []string // which the office may write for it
	apart() string   // what sets it apart from others of the same name
}

// table holds the records of one kind. What a look-up takes grows with what it finds alone.
type table[R any, P filable[R]] struct {
	rows  []P // in the order in which they were made
	byID  map[string]P
	found map[key][]P // each in the order of their rows
}

// of is the record of this id, nil when there is none.
func (t *table[R, P]) of(id string) P { return t.byID[id] }

// at is the record of this row, nil when there is none.
func (t *table[R, P]) at(row int) P {
	if row < 1 || row > len(t.rows) {
		return nil
	}
	return t.rows[row-1]
}

// many are the records that have this value.
func (t *table[R, P]) many(by keyOf, value string) []P { return t.found[key{by, value}] }

// one is the record that has this value, the last made of several, nil when none has.
func (t *table[R, P]) one(by keyOf, value string) P {
	found := t.many(by, value)
	if len(found) == 0 {
		return nil
	}
	return found[len(found)-1]
}

func (*table[R, P]) kind() string { return P(nil).kind() }

// file puts a record of these fields into the table, or changes those of the one that is there.
func (t *table[R, P]) file(id string, made time.Time, fields map[string]json.RawMessage) {
	r := t.byID[id]
	if r == nil {
		if t.byID == nil {
			t.byID, t.found = map[string]P{}, map[key][]P{}
		}
		r = new(R)
		*r.filing() = filed{id: id, row: len(t.rows) + 1, made: made}
		t.byID[id], t.rows = r, append(t.rows, r)
	}
	were := setOf(r.keys())
	filing, all := *r.filing(), fieldsOf(r)
	maps.Copy(all, fields)
	*r = *new(R)
	*r.filing() = filing
	readFields(all, r)
	are := setOf(r.keys())
	for k := range were {
		if are[k] {
			continue
		}
		t.found[k] = slices.DeleteFunc(t.found[k], func(other P) bool { return other == r })
		if len(t.found[k]) == 0 {
			delete(t.found, k)
		}
	}
	for k := range are {
		if k.value != "" && !were[k] {
			at, _ := slices.BinarySearchFunc(t.found[k], filing.row, func(other P, row int) int { return other.filing().row - row })
			t.found[k] = slices.Insert(t.found[k], at, r)
		}
	}
}

// fieldsOf are the fields of a record as they are kept.
func fieldsOf(record any) map[string]json.RawMessage {
	fields := map[string]json.RawMessage{}
	raw, _ := json.Marshal(record) // of text, lists and times, which always can be
	_ = json.Unmarshal(raw, &fields)
	return fields
}

// readFields sets the fields of an empty record. What is not what it should be is left out.
func readFields(fields map[string]json.RawMessage, record any) {
	raw, _ := json.Marshal(fields)
	_ = json.Unmarshal(raw, record)
}
