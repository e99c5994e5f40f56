package model

import (
	"errors"
	"fmt"
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

// Require is nil when what must hold does, else a Problem with this reason, formatted as by
// fmt.Sprintf.
func Require(holds bool, path, fix, reason string, args ...any) *Problem {
	if holds {
		return nil
	}
	return &Problem{Path: path, Reason: fmt.Sprintf(reason, args...), Fix: fix}
}

// InRange is the Problem of a value that is not from least to most, NaN among them: "7 is not
// a tolerance from 0 to 1 m". what and unit may be empty; the unit brings its own blank.
func InRange(path string, v, least, most float64, what, unit, fix string) *Problem {
	if v >= least && v <= most {
		return nil
	}
	if what != "" {
		what += " "
	}
	return &Problem{Path: path, Reason: fmt.Sprintf("%v is not %sfrom %v to %v%s", v, what, least, most, unit), Fix: fix}
}

// Within returns a copy of p whose path stands below parent: "levelM" within "bed[3]" is
// "bed[3].levelM", and "[0]" within "bed" is "bed[0]". No Problem stays none.
func (p *Problem) Within(parent string) *Problem {
	if p == nil {
		return nil
	}
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

// Err is the Problem as an error, nil when there is none.
func (p *Problem) Err() error {
	if p == nil {
		return nil
	}
	return p
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
