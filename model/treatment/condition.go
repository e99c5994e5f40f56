package treatment

import (
	"slices"
	"strconv"
	"strings"

	"headcut/model"
)

// Comparison is how a field is held against a value.
type Comparison string

const (
	OneOf   Comparison = "is one of" // of the sort of place
	AtMost  Comparison = "at most"
	Below   Comparison = "below"
	AtLeast Comparison = "at least"
	Above   Comparison = "above"
	Yes     Comparison = "yes"
	No      Comparison = "no"
)

// Condition is one test of a site: of the sort of place where Is is OneOf, else of Field.
type Condition struct {
	Field Field
	Is    Comparison
	Value float64
	Whats []What
}

// These make the rows of the tables read.
func place(whats ...What) Condition        { return Condition{Is: OneOf, Whats: whats} }
func atMost(f Field, v float64) Condition  { return Condition{Field: f, Is: AtMost, Value: v} }
func below(f Field, v float64) Condition   { return Condition{Field: f, Is: Below, Value: v} }
func atLeast(f Field, v float64) Condition { return Condition{Field: f, Is: AtLeast, Value: v} }
func above(f Field, v float64) Condition   { return Condition{Field: f, Is: Above, Value: v} }
func yes(f Field) Condition                { return Condition{Field: f, Is: Yes} }
func no(f Field) Condition                 { return Condition{Field: f, Is: No} }

// Truth is what can be said of a condition at a site.
type Truth string

const (
	True        Truth = "met"
	False       Truth = "not met"
	TooClose    Truth = "too close to tell" // nearer the threshold than the plus-minus
	NotMeasured Truth = "not measured"
)

// At tests the condition at a site. A threshold nearer than one standard deviation of the
// measurement decides nothing: one draw in six or more would fall on its other side.
func (c Condition) At(s Site) Truth {
	v := s.values[c.Field]
	off := v.value - c.Value
	switch {
	case c.Is == OneOf:
		return truth(slices.Contains(c.Whats, s.What))
	case !v.known:
		return NotMeasured
	case c.Is == Yes:
		return truth(v.value == 1)
	case c.Is == No:
		return truth(v.value != 1)
	case off < v.plusMinus && -off < v.plusMinus:
		return TooClose
	case c.Is == AtMost:
		return truth(off <= 0)
	case c.Is == Below:
		return truth(off < 0)
	case c.Is == AtLeast:
		return truth(off >= 0)
	}
	return truth(off > 0)
}

func truth(holds bool) Truth {
	if holds {
		return True
	}
	return False
}

// allAt is the truth of all conditions together: the first that does not hold settles it.
func allAt(conditions []Condition, s Site) Truth {
	whole := True
	for _, c := range conditions {
		switch c.At(s) {
		case False:
			return False
		case NotMeasured:
			whole = NotMeasured
		case TooClose:
			if whole == True {
				whole = TooClose
			}
		}
	}
	return whole
}

// String reads as "depth at most 0.5 m" or "stock cannot be kept out".
func (c Condition) String() string {
	about := aboutFields[c.Field]
	switch c.Is {
	case OneOf:
		return strings.Join(model.Each(c.Whats, func(w What) string { return string(w) }), " or ")
	case Yes:
		return about.reads
	case No:
		return about.not
	}
	return strings.TrimSuffix(about.reads+" "+string(c.Is)+" "+number(c.Value)+" "+about.unit, " ")
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
