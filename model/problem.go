package model

import (
	"errors"
	"strconv"
	"strings"
)

// Problem says what is wrong with something a person or a device gave us: where it
// stands, why it cannot be taken, and what to do about it. It is the one error type that
// reaches an officer, on the phone, on the terminal and in an intake report alike.
//
// The zero values of File, Line and Path mean "not known"; Reason is always set.
type Problem struct {
	File   string `json:"file,omitempty"`
	Line   int    `json:"line,omitempty"` // counted from 1
	Path   string `json:"path,omitempty"` // a JSON path or a field's name: "bed[3].levelM"
	Reason string `json:"reason"`
	Fix    string `json:"fix,omitempty"`
}

// Error reads as "file:line: path: reason (fix)", leaving out what is not known.
func (p *Problem) Error() string {
	var b strings.Builder
	if p.File != "" {
		b.WriteString(p.File)
		if p.Line > 0 {
			b.WriteString(":" + strconv.Itoa(p.Line))
		}
		b.WriteString(": ")
	} else if p.Line > 0 {
		b.WriteString("line " + strconv.Itoa(p.Line) + ": ")
	}
	if p.Path != "" {
		b.WriteString(p.Path + ": ")
	}
	b.WriteString(p.Reason)
	if p.Fix != "" {
		b.WriteString(" (" + p.Fix + ")")
	}
	return b.String()
}

// Within returns a copy of p whose path stands below parent: "levelM" within "bed[3]" is
// "bed[3].levelM", and "[0]" within "bed" is "bed[0]".
func (p *Problem) Within(parent string) *Problem {
	q := *p
	switch {
	case q.Path == "":
		q.Path = parent
	case strings.HasPrefix(q.Path, "["):
		q.Path = parent + q.Path
	default:
		q.Path = parent + "." + q.Path
	}
	return &q
}

// Within is an error with the path of its Problem below parent; another error stays as it is.
func Within(err error, parent string) error {
	if p, ok := errors.AsType[*Problem](err); ok {
		return p.Within(parent)
	}
	return err
}

// FirstProblem is the first Problem that there is, nil when there is none.
func FirstProblem(problems ...*Problem) *Problem {
	for _, p := range problems {
		if p != nil {
			return p
		}
	}
	return nil
}
