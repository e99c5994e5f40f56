package main

import (
	"strings"

	"headcut/model/compute"
)

// pascal writes "dam-check" and "damCheck" as "DamCheck".
func pascal(name string) string {
	var b strings.Builder
	for _, part := range strings.Split(name, "-") {
		b.WriteString(strings.ToUpper(part[:1]) + part[1:])
	}
	return b.String()
}

func lowerFirst(name string) string { return strings.ToLower(name[:1]) + name[1:] }

// singular is the name of one of what a list's name says.
func singular(name string) string {
	for _, end := range []struct{ many, one string }{{"ies", "y"}, {"sses", "ss"}, {"shes", "sh"}, {"ches", "ch"}, {"s", ""}} {
		if one, ok := strings.CutSuffix(name, end.many); ok && !strings.HasSuffix(name, "ss") {
			return one + end.one
		}
	}
	return name
}

// describe is what a property's comment says of it, its unit first.
func describe(s *compute.Schema) string {
	about := comment(s.Description)
	if s.Unit != "" && s.Unit != "1" {
		about = "[" + comment(s.Unit) + "] " + about
	}
	return strings.TrimSpace(about)
}

// comment keeps a text from ending the comment it is in.
func comment(text string) string { return strings.ReplaceAll(text, "*/", "* /") }
