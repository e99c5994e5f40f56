package compute

import (
	"strings"
	"unicode/utf8"

	"headcut/model"
)

// unlike is the Problem of a value of another type than wanted.
func unlike(token token, wanted string) *model.Problem {
	is := "null"
	switch token.kind {
	case isTrue, isFalse:
		is = "true or false"
	case aNumber:
		is = "a number"
	case aText:
		is = "text"
	case aList:
		is = "a list"
	case anObject:
		is = "an object"
	}
	return &model.Problem{Reason: "is " + is + ", not " + wanted}
}

// unknown is the Problem of a name that no field has.
func unknown(name string, fields []field) *model.Problem {
	names := model.Each(fields, func(f field) string { return f.name })
	fix := "the fields are " + strings.Join(names, ", ")
	if near := model.NearestName(name, names); near != "" {
		fix = "did you mean " + near + "?"
	} else if name == "dams" { // a layout was piped on
		fix = "a layout goes on to dam-check; what its dams take dam-layout answers itself, in its bill, once it is given build"
	}
	return &model.Problem{Path: shorten(name), Reason: "is not a field of this computation", Fix: fix}
}

// shorten keeps what a stranger sent from filling the screen.
func shorten(text string) string {
	const most = 40
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	return string([]rune(text)[:most]) + "…"
}
