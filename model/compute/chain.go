package compute

import (
	"bytes"
	"reflect"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/jsonvalue"
)

// feed is a computation whose answer another takes as its input, as it stands and with
// more values beside it.
type feed struct {
	from  string       // its name
	out   reflect.Type // what it answers
	own   []string     // names that mean other things in the answer than in the input
	carry func(answer, in any, given func(string) bool) error
}

// takes declares that In is made of the answer Out of the computation from. Values of the
// same name are taken over by themselves, unless own names them; carry does the rest. It
// must leave what was given beside the answer: given tells whether a field was.
func takes[Out, In any](from string, own []string, carry func(out Out, in *In, given func(string) bool) error) feed {
	return feed{from, reflect.TypeFor[Out](), own, func(answer, in any, given func(string) bool) error {
		if carry == nil {
			return nil
		}
		return carry(*answer.(*Out), in.(*In), given)
	}}
}

// after makes the answers of other computations inputs of this one.
func (c Computation) after(feeds ...feed) Computation {
	for _, f := range feeds {
		c.Takes = append(c.Takes, f.from)
	}
	*c.feeds = feeds
	return c
}

// read reads the input: an object of the fields of into, or the whole answer of a
// computation that feeds it, with or without such fields beside.
func (s shapes) read(text []byte, into any, feeds []feed, work *model.Work, list *longest) *model.Problem {
	if len(text) <= MaxInput && slices.ContainsFunc(feeds, func(f feed) bool { return mayBeAnswer(text, s.of(f.out)) }) {
		if whole, ok := members(text); ok {
			var fed []feed
			for _, f := range feeds {
				if whole.areAnswer(s.of(f.out)) {
					fed = append(fed, f)
				}
			}
			if len(fed) > 0 {
				return s.chained(whole, into, fed, work)
			}
		}
	}
	return s.decode(text, into, work, list)
}

// chained reads an object that has in it all that the answers of some computations always
// have. Each member belongs to the input, to an answer, or to both.
func (s shapes) chained(whole object, into any, fed []feed, work *model.Work) *model.Problem {
	in := reflect.ValueOf(into).Elem()
	fields := s.of(in.Type())
	var own object
	parts := make([]object, len(fed))
	for i, m := range whole {
		if slices.ContainsFunc(whole[:i], func(before member) bool { return before.name == m.name }) {
			return &model.Problem{Path: shorten(m.name), Reason: "is there twice", Fix: "keep one of the two"}
		}
		at := slices.IndexFunc(fields, func(f field) bool { return f.name == m.name })
		taken, known := at >= 0, at >= 0
		for k, f := range fed {
			answer := s.of(f.out)
			as := slices.IndexFunc(answer, func(a field) bool { return a.name == m.name })
			if as < 0 {
				continue
			}
			parts[k], known = append(parts[k], m), true
			if taken && (slices.Contains(f.own, m.name) || !alike(fields[at].typ, answer[as].typ)) {
				taken = false
			}
		}
		if taken {
			own = append(own, m)
		} else if !known {
			return unknown(m.name, fields)
		}
	}
	given := map[string]bool{}
	for _, m := range own {
		given[m.name] = m.text != "null"
	}
	if p := s.decodeAs(own.json(), into, looselyRequired, work, nil); p != nil {
		return p
	}
	for k, f := range fed {
		answer := reflect.New(f.out)
		if p := s.decodeAs(parts[k].json(), answer.Interface(), asAnswer, work, nil); p != nil {
			return p
		}
		if err := f.carry(answer.Interface(), into, func(name string) bool { return given[name] }); err != nil {
			return problem(err)
		}
	}
	for _, f := range fields {
		if !f.optional && !given[f.name] && in.FieldByIndex(f.index).IsZero() {
			return &model.Problem{Path: f.name, Reason: "is missing", Fix: f.doc}
		}
	}
	return nil
}

// alike tells whether values of the two types are written alike.
func alike(a, b reflect.Type) bool {
	for a.Kind() == reflect.Pointer {
		a = a.Elem()
	}
	for b.Kind() == reflect.Pointer {
		b = b.Elem()
	}
	plain := func(t reflect.Type) bool {
		return t.Kind() == reflect.Float64 || t.Kind() == reflect.String || t.Kind() == reflect.Bool || t.Kind() == reflect.Int
	}
	return a == b || plain(a) && a.Kind() == b.Kind()
}

// member is one name of an object with the text of its value.
type member struct{ name, text string }

// object is the members of an object in their order.
type object []member

// areAnswer tells whether all is there that an answer of these fields always has.
func (o object) areAnswer(fields []field) bool {
	for _, f := range fields {
		if !f.omitted && !slices.ContainsFunc(o, func(m member) bool { return m.name == f.name }) {
			return false
		}
	}
	return true
}

// mayBeAnswer is false where areAnswer surely would be, and takes no text apart.
func mayBeAnswer(text []byte, fields []field) bool {
	for _, f := range fields {
		if !f.omitted && !bytes.Contains(text, []byte(f.name)) {
			return bytes.IndexByte(text, '\\') >= 0 // names may have escapes in them
		}
	}
	return true
}

func (o object) json() []byte {
	text := []byte{'{'}
	for i, m := range o {
		if i > 0 {
			text = append(text, ',')
		}
		text = append(append(text, inJSON(m.name)...), ':')
		text = append(text, m.text...)
	}
	return append(text, '}')
}

// members takes an object apart, false for a text that is none: whoever reads it in full
// tells what is wrong. The decoder of encoding/json would do, and weighs 8 kB on a phone.
func members(text []byte) (object, bool) {
	s := scanner{in: bytes.TrimPrefix(text, []byte(byteOrderMark))}
	if first, _ := s.peek(); first != '{' || !jsonvalue.Valid(s.in) {
		return nil, false
	}
	s.at++
	var all object
	for first := true; ; first = false {
		if more, _ := s.more(first, '}'); !more {
			return all, true
		}
		name, _ := s.name()
		from := s.at
		s.skip()
		all = append(all, member{string(name), strings.TrimSpace(string(s.in[from:s.at]))})
	}
}

// skip passes over a value of a text that is JSON.
func (s *scanner) skip() {
	for deep := 0; ; {
		switch c, _ := s.peek(); c {
		case '"':
			_, _ = s.string()
		case '{', '[':
			deep++
			s.at++
		case '}', ']':
			deep--
			s.at++
		case ',', ':':
			s.at++
		default:
			for s.at < len(s.in) && bytes.IndexByte([]byte("-+.0123456789Eaeflnrstu"), s.in[s.at]) >= 0 {
				s.at++
			}
		}
		if deep == 0 {
			return
		}
	}
}
