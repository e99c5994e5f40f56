package compute

import (
	"bytes"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"headcut/model"
)

// MaxInput is the most bytes of JSON that one computation reads.
const MaxInput = 16 << 20

// mostHeld is the most memory that the lists of one input take, in bytes: an empty object of a list is three
// bytes of text and may be hundreds here.
const mostHeld = 128 << 20

// byteOrderMark is what some editors write before UTF-8.
const byteOrderMark = "\ufeff"

// decode reads one JSON object into the struct that into points to. It is stricter than
// encoding/json, because a level that silently went missing costs a day in the gully:
// names are exact, unknown and doubled ones are refused, what is required must be there,
// a null is the same as leaving the value out, and nothing may follow the object. The
// type of into bounds how deep the text can nest. The shapes are those of that type.
func (s shapes) decode(in []byte, into any, work *model.Work, list *longest) *model.Problem {
	return s.decodeAs(in, into, asInput, work, list)
}

// demand is what an object must have.
type demand int

const (
	asInput         demand = iota // each field that is not optional
	looselyRequired               // the same, but for the outermost object
	asAnswer                      // each field that an answer always has; a plus-minus that lacks is not known
)

func (s shapes) decodeAs(in []byte, into any, demand demand, work *model.Work, list *longest) *model.Problem {
	if len(in) > MaxInput {
		return &model.Problem{Reason: "the input is longer than " + strconv.Itoa(MaxInput>>20) + " MiB", Fix: "send it in parts"}
	}
	in = bytes.TrimPrefix(in, []byte(byteOrderMark))
	if !utf8.Valid(in) {
		return &model.Problem{Reason: "the input is not UTF-8 text", Fix: "save it as UTF-8"}
	}
	if len(bytes.TrimSpace(in)) == 0 {
		return &model.Problem{Reason: "the input is empty", Fix: "give one JSON object"}
	}
	d := decoder{scanner: scanner{in: in}, shapes: lastShape{shapes: s}, demand: demand, work: work, room: mostHeld, longest: list}
	defer d.counted()
	first, p := d.value()
	switch {
	case p != nil:
		return p
	case first.kind != anObject:
		return &model.Problem{Reason: "the input " + unlike(first, "an object").Reason, Fix: "put it in braces: {\"name\": value, ...}"}
	}
	if p := d.object(reflect.ValueOf(into).Elem()); p != nil {
		return p
	}
	if _, ended := d.peek(); ended == nil {
		return &model.Problem{Line: d.line(), Reason: "something follows the end of the object", Fix: "give one JSON object and nothing after it"}
	}
	return nil
}

type decoder struct {
	scanner
	shapes lastShape
	demand demand
	work   *model.Work
	done   int // bytes that are counted
	room   int // bytes that lists may still take
	floats []float64

	longest *longest
}

// counted counts what has been read, and tells whether more may be.
func (d *decoder) counted() bool {
	steps := d.at - d.done
	d.done = d.at
	return d.work.Do(steps)
}

// fill sets v, described by f, from token and what follows it.
func (d *decoder) fill(v reflect.Value, f *field, token token) *model.Problem {
	switch v.Kind() {
	case reflect.Pointer:
		if p, ok := v.Addr().Interface().(**float64); ok {
			*p = d.float()
		} else {
			v.Set(reflect.New(v.Type().Elem()))
		}
		return d.fill(v.Elem(), f, token)
	case reflect.Struct:
		if token.kind != anObject {
			return unlike(token, "an object")
		}
		return d.object(v)
	case reflect.Slice, reflect.Array:
		if token.kind != aList {
			return unlike(token, "a list")
		}
		return d.list(v, f)
	case reflect.Bool:
		if token.kind != isTrue && token.kind != isFalse {
			return unlike(token, "true or false")
		}
		v.SetBool(token.kind == isTrue)
	case reflect.String:
		if token.kind != aText {
			return unlike(token, "text")
		}
		text := string(token.text)
		if f.choices != nil && !slices.Contains(f.choices, text) {
			return &model.Problem{Reason: strconv.Quote(shorten(text)) + " is not one of the choices",
				Fix: "give one of " + strings.Join(f.choices, ", ")}
		}
		v.SetString(text)
	default:
		return fillNumber(v, token)
	}
	return nil
}

// float is room for a number; rows have many of them.
func (d *decoder) float() *float64 {
	if len(d.floats) == 0 {
		d.floats = make([]float64, 16)
	}
	p := &d.floats[0]
	d.floats = d.floats[1:]
	return p
}

// mostWhole is the largest whole number that is read: the next is not told from its
// neighbour once it is a float64.
const mostWhole = 1<<53 - 1

func fillNumber(v reflect.Value, token token) *model.Problem {
	if token.kind != aNumber {
		return unlike(token, "a number")
	}
	n, err := strconv.ParseFloat(string(token.text), 64)
	if err != nil {
		return &model.Problem{Reason: shorten(string(token.text)) + " is too large for a number"}
	}
	if v.Kind() == reflect.Float64 {
		v.SetFloat(n)
		return nil
	}
	if n != math.Trunc(n) || math.Abs(n) > mostWhole {
		return &model.Problem{Reason: shorten(string(token.text)) + " is not a whole number"}
	}
	v.SetInt(int64(n))
	return nil
}

func (d *decoder) object(v reflect.Value) *model.Problem {
	fields := d.shapes.of(v.Type())
	demand := d.demand
	if demand == looselyRequired {
		d.demand = asInput // of the objects within
	}
	var seen, given uint64 // by bits: the name stood there, and with a value
	for first := true; ; first = false {
		more, p := d.more(first, '}')
		if p != nil {
			return p
		}
		if !more {
			break
		}
		name, p := d.name()
		if p != nil {
			return p
		}
		i := 0
		for i < len(fields) && fields[i].name != string(name) {
			i++
		}
		if i == len(fields) {
			return unknown(string(name), fields)
		}
		f, bit := &fields[i], uint64(1)<<i
		if seen&bit != 0 {
			return &model.Problem{Path: f.name, Reason: "is there twice", Fix: "keep one of the two"}
		}
		seen |= bit
		token, p := d.value()
		if p == nil && token.kind != isNull { // null: as if left out
			given |= bit
			p = d.fill(v.FieldByIndex(f.index), f, token)
		}
		if p != nil {
			return p.Within(f.name)
		}
	}
	if demand == looselyRequired {
		return nil
	}
	for i := range fields {
		f := &fields[i]
		if given>>i&1 != 0 {
			continue
		}
		if demand == asAnswer && f.plusMinus && f.typ.Kind() == reflect.Float64 {
			v.FieldByIndex(f.index).SetFloat(-1)
		}
		if demand == asAnswer && !f.omitted && f.typ.Kind() != reflect.Pointer || demand != asAnswer && !f.optional {
			return &model.Problem{Path: f.name, Reason: "is missing", Fix: f.doc}
		}
	}
	return nil
}

func (d *decoder) list(v reflect.Value, f *field) *model.Problem {
	n, from, room := 0, d.at-1, d.room
	if d.longest.again(d.in[from:], v, f) {
		d.at, d.room = from+len(d.longest.text), room-d.longest.room
		return nil
	}
	for ; ; n++ {
		more, p := d.more(n == 0, ']')
		if p != nil {
			return p
		}
		if !more || !d.counted() {
			break
		}
		within := func(p *model.Problem) *model.Problem { return p.Within("[" + strconv.Itoa(n) + "]") }
		token, p := d.value()
		if p != nil {
			return within(p)
		}
		if v.Kind() == reflect.Slice {
			if n == v.Cap() {
				more := max(4, n)
				if d.room -= more * int(v.Type().Elem().Size()); d.room < 0 {
					return &model.Problem{Line: d.line(), Reason: "has more than " + strconv.Itoa(n) + " values, too many to work through at once", Fix: "send it in parts"}
				}
				v.Grow(more)
			}
			v.SetLen(n + 1)
		} else if n >= v.Len() {
			return &model.Problem{Reason: "has more than " + strconv.Itoa(v.Len()) + " values"}
		}
		if p := d.fill(v.Index(n), f, token); p != nil {
			return within(p)
		}
	}
	if v.Kind() == reflect.Array && n < v.Len() {
		return &model.Problem{Reason: "has " + strconv.Itoa(n) + " values and needs " + strconv.Itoa(v.Len())}
	}
	if v.Kind() == reflect.Slice && n == 0 {
		v.Set(reflect.MakeSlice(v.Type(), 0, 0)) // given and empty is not the same as left out
	}
	d.longest.keep(d.in[from:d.at], v, f, room-d.room)
	return nil
}
