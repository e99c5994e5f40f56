package main

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"headcut/model/compute"
)

// module is the file of one computation, or of what several share.
type module struct {
	name, summary string
	interfaces    []*shape
	places        int
}

// shape is one interface of a file.
type shape struct {
	name, body string   // body is what stands between its braces
	uses       []string // names of other interfaces in it
	place      int      // in the order in which a reader meets them
}

func moduleOf(c compute.Computation) *module {
	m := &module{name: c.Name, summary: c.Summary}
	m.object(c.InputSchema(), "Input", "")
	m.object(c.OutputSchema(), "Output", "")
	slices.SortStableFunc(m.interfaces, func(a, b *shape) int { return cmp.Compare(a.place, b.place) })
	return m
}

// object is the name of the interface of an object: the one that has it already, or a new
// one named after the property it is in.
func (m *module) object(s *compute.Schema, name, parent string) string {
	made := shape{place: m.places}
	m.places++
	var b strings.Builder
	for _, p := range s.Properties {
		if about := describe(p.Schema); about != "" {
			b.WriteString("  /** " + about + " */\n")
		}
		b.WriteString("  " + p.Name)
		if !slices.Contains(s.Required, p.Name) {
			b.WriteString("?")
		}
		text, uses := m.typeOf(p.Schema, p.Name, name)
		made.uses = append(made.uses, uses...)
		b.WriteString(": " + text + ";\n")
	}
	made.body = b.String()
	for _, had := range m.interfaces {
		if had.body == made.body && had.name != "Input" && had.name != "Output" {
			return had.name
		}
	}
	taken := func(name string) bool {
		return slices.ContainsFunc(m.interfaces, func(had *shape) bool { return had.name == name })
	}
	made.name = name
	if taken(made.name) || name != "Input" && name != "Output" && (made.name == "Input" || made.name == "Output") {
		made.name = parent + name
	}
	for n := 2; taken(made.name); n++ {
		made.name = parent + name + strconv.Itoa(n)
	}
	m.interfaces = append(m.interfaces, &made)
	return made.name
}

// typeOf is the TypeScript type of a schema, and the interfaces that it names.
func (m *module) typeOf(s *compute.Schema, property, parent string) (text string, uses []string) {
	var all []string
	for _, t := range s.Type {
		one, used := m.oneType(s, t, property, parent)
		all, uses = append(all, one), append(uses, used...)
	}
	return strings.Join(all, " | "), uses
}

func (m *module) oneType(s *compute.Schema, name, property, parent string) (text string, uses []string) {
	switch name {
	case "null", "boolean":
		return name, nil
	case "number", "integer":
		return "number", nil
	case "string":
		if s.Enum == nil {
			return "string", nil
		}
		var choices []string
		for _, e := range s.Enum {
			if e != nil {
				choices = append(choices, strconv.Quote(*e))
			}
		}
		return strings.Join(choices, " | "), nil
	case "array":
		item, used := m.typeOf(s.Items, singular(property), parent)
		if s.MinItems != nil {
			return "[" + strings.Join(slices.Repeat([]string{item}, *s.MinItems), ", ") + "]", used
		}
		if strings.Contains(item, " | ") {
			item = "(" + item + ")"
		}
		return item + "[]", used
	}
	named := m.object(s, pascal(property), parent)
	return named, []string{named}
}

// loan is a part of one computation that is the whole input of another.
type loan struct{ name, from string }

// lent are the parts that are another's input to the letter: they are imported from its file.
func (m *module) lent(all []*module, shared *module) (loans []loan) {
	for _, s := range m.interfaces {
		if s.name == "Input" || s.name == "Output" || shared.has(s) {
			continue
		}
		for _, other := range all {
			// What it names must be the same too, which it is when both have it from shared.
			if other != m && other.interfaces[0].body == s.body && m.allShared(s.uses, shared) && other.allShared(s.uses, shared) {
				loans = append(loans, loan{s.name, other.name})
				break
			}
		}
	}
	return loans
}

func (m *module) allShared(names []string, shared *module) bool {
	return !slices.ContainsFunc(m.interfaces, func(s *shape) bool { return slices.Contains(names, s.name) && !shared.has(s) })
}

// text is the file. What stands in shared, or is another's input, is imported from there.
func (m *module) text(about string, shared *module, loans []loan) string {
	imported := map[string]bool{}
	var b strings.Builder
	isLent := func(s *shape) bool {
		return slices.ContainsFunc(loans, func(l loan) bool { return l.name == s.name })
	}
	for _, s := range m.interfaces {
		if shared.has(s) {
			imported[s.name] = true
			continue
		}
		if isLent(s) {
			continue
		}
		if b.Len() > 0 {
			b.WriteString("\n")
		}
		fmt.Fprintf(&b, "export interface %s {\n%s}\n", s.name, s.body)
	}
	if shared == nil {
		return written + "// " + about + "\n\n" + b.String()
	}
	used := map[string]bool{}
	for _, s := range m.interfaces {
		if !shared.has(s) && !isLent(s) {
			for _, name := range s.uses {
				used[name] = used[name] || imported[name]
			}
		}
	}
	var names []string
	for name, is := range used {
		if is {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	head := written + "// " + m.name + ": " + about + "\n\n"
	for _, l := range loans {
		head += "import type { Input as " + l.name + " } from \"./" + l.from + ".ts\";\n"
	}
	if len(names) > 0 {
		head += "import type { " + strings.Join(names, ", ") + " } from \"./shared.ts\";\n"
	}
	if len(names)+len(loans) > 0 {
		head += "\n"
	}
	return head + b.String()
}

func (m *module) has(s *shape) bool {
	return m != nil && slices.ContainsFunc(m.interfaces, func(had *shape) bool { return had.name == s.name && had.body == s.body })
}

// sharedBy gathers the interfaces that several modules have, the same to the letter; of those
// that differ under one name, the one that most have. What a shared interface names is shared.
func sharedBy(all []*module) *module {
	counts, chosen := map[[2]string]int{}, map[string]*shape{}
	var order []string
	for _, m := range all {
		for _, s := range m.interfaces {
			if s.name == "Input" || s.name == "Output" {
				continue
			}
			key := [2]string{s.name, s.body}
			counts[key]++
			best := chosen[s.name]
			if best == nil {
				order = append(order, s.name)
			}
			if counts[key] > 1 && (best == nil || counts[key] > counts[[2]string{best.name, best.body}]) || best == nil {
				chosen[s.name] = s
			}
		}
	}
	for name, s := range chosen {
		if counts[[2]string{s.name, s.body}] < 2 {
			delete(chosen, name)
		}
	}
	for dropped := true; dropped; {
		dropped = false
		for _, m := range all {
			for _, s := range m.interfaces {
				if is := chosen[s.name]; is == nil || is.body != s.body || m.sharesAll(s.uses, chosen) {
					continue
				}
				delete(chosen, s.name)
				dropped = true
			}
		}
	}
	out := &module{}
	for _, name := range order {
		if s := chosen[name]; s != nil {
			out.interfaces = append(out.interfaces, s)
		}
	}
	return out
}

// sharesAll says whether the interfaces of these names are those that were chosen.
func (m *module) sharesAll(names []string, chosen map[string]*shape) bool {
	return !slices.ContainsFunc(m.interfaces, func(s *shape) bool {
		return slices.Contains(names, s.name) && (chosen[s.name] == nil || chosen[s.name].body != s.body)
	})
}
