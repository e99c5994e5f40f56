package compute

import (
	"errors"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"headcut/model"
)

// table is every computation, in the order in which they are listed to people: plain
// measuring first, then levels, sections and dams, the water
// that dams must pass, then banks and lines on the contour.
var table = []Computation{
	line,
	area,
	levelRun,
	staffReading,
	longSection,
	damLayout,
	damCheck,
	timeOfConcentration,
	peakFlow,
	channelFlow,
	stormRunoff,
	notch,
	rockDam,
	whoaBoys,
	whoaBoyCheck,
	bankLayout,
	bankCheck,
	contourCheck,
	ripArea,
	windrowGaps,
	batter,
	scald,
	soilLoss,
	revegetation,
	treatmentChoice,
	gullyVolume,
	retreat,
	headGrowth,
	sediment,
	groundCover,
	forageBudget,
	quantities,
	mapGrid,
}

// Doc is what a computation says about itself.
type Doc struct {
	Name     string         `json:"name"`
	Summary  string         `json:"summary"`            // one line, for a list
	Limits   []string       `json:"limits,omitempty"`   // when the answer does not hold, and what is refused
	Rules    []string       `json:"rules,omitempty"`    // of a computation that decides by a table: its rows, in words
	Cautions []string       `json:"cautions,omitempty"` // what to mind on the ground
	Sources  []model.Source `json:"sources,omitempty"`
	Takes    []string       `json:"takes,omitempty"` // computations whose whole answer is taken as input
	Growth   Growth         `json:"growth"`          // how its work grows, at worst, with the length n of its input
}

// Computation is one named calculation from a JSON object to a JSON object.
type Computation struct {
	Doc
	document func(*Doc) // fills in what is long to make, nil when nothing is

	in, out reflect.Type
	feeds   *[]feed
	run     func(in []byte, digits digits, work *model.Work, list *longest) ([]byte, error)
}

// All lists every computation in the order of the table.
func All() []Computation {
	all := slices.Clone(table)
	for i := range all {
		all[i].Doc = all[i].whole()
	}
	return all
}

// documentedBy has what is long to make of a Doc made when somebody asks for it, and not
// whenever a phone starts.
func (c Computation) documentedBy(document func(*Doc)) Computation {
	c.document = document
	return c
}

func (c Computation) whole() Doc {
	d := c.Doc
	if c.document != nil {
		c.document(&d)
	}
	return d
}

// Named finds a computation.
func Named(name string) (Computation, bool) {
	return model.Find(table, func(c Computation) bool { return c.Name == name })
}

// Run reads in, the JSON object of the named computation's inputs, and returns the JSON
// object of its outputs. The same input gives the same bytes. Every error is a
// *model.Problem; one about a value carries its JSON path.
func Run(name string, in []byte) ([]byte, error) {
	c, err := named(name)
	if err != nil {
		return nil, err
	}
	return c.Run(in)
}

func named(name string) (Computation, error) {
	c, ok := Named(name)
	if ok {
		return c, nil
	}
	names := model.Each(table, func(known Computation) string { return known.Name })
	p := &model.Problem{Reason: "there is no computation " + strconv.Quote(shorten(name)), Fix: "give one of " + strings.Join(names, ", ")}
	if near := model.NearestName(name, names); near != "" {
		p.Fix = "did you mean " + near + "?"
	}
	return c, p
}

// Run is the package's Run for this computation.
func (c Computation) Run(in []byte) ([]byte, error) { return c.run(in, deserved, budget(nil), nil) }

// Inputs describes the fields of the input object.
func (c Computation) Inputs() []Parameter { return describe(c.in) }

// Outputs describes the fields of the output object.
func (c Computation) Outputs() []Parameter { return describe(c.out) }

// define joins what a computation says of itself with the function that does it. In and
// Out are structs tagged as the package comment tells.
// Where it may do far more than its input is long it counts what it does, and its answer is
// thrown away when it had to stop.
func define[In, Out any](doc Doc, compute func(In, *model.Work) (Out, error)) Computation {
	return defined(doc, reflect.TypeFor[In](), reflect.TypeFor[Out](), func(in any, work *model.Work) (any, error) {
		out, err := compute(*in.(*In), work)
		return &out, err
	})
}

// defined is what define does for every type alike, written once in the program that phones load:
// compute takes a pointer to what is put in, and gives one to the answer.
func defined(doc Doc, in, out reflect.Type, compute func(in any, work *model.Work) (out any, err error)) Computation {
	feeds := new([]feed)
	known := sync.OnceValue(func() shapes { // on a phone it is a tenth of an answer's time
		s := shapes{}
		s.with(in)
		s.with(out)
		for _, f := range *feeds { // it is only read from here on: many answer at once
			s.with(f.out)
		}
		return s
	})
	return Computation{
		Doc:   doc,
		feeds: feeds,
		in:    in,
		out:   out,
		run: func(text []byte, digits digits, work *model.Work, list *longest) ([]byte, error) {
			given := reflect.New(in).Interface()
			p := known().read(text, given, *feeds, work, list)
			var found any
			if p == nil {
				var err error
				if found, err = compute(given, work); err != nil {
					p = problem(err)
				}
			}
			if err := work.Err(); err != nil {
				return nil, err
			}
			if p != nil {
				return nil, known().withRemedy(p, in)
			}
			answer, err := known().encode(found, digits, len(text)*3/2, mostAnswer(len(text)), list)
			work.Do(len(answer))
			return answer, err
		},
	}
}

func problem(err error) *model.Problem {
	if p, ok := errors.AsType[*model.Problem](err); ok {
		return p
	}
	return &model.Problem{Reason: err.Error()}
}
