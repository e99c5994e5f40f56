package planning

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
)

// Purpose is what is planned.
type Purpose string

// What can be planned.
const (
	Dams     Purpose = "dams"
	WhoaBoys Purpose = "whoa-boys"
	PeakFlow Purpose = "peak-flow"
	Forage   Purpose = "forage"
	Banks    Purpose = "banks"
	RipLines Purpose = "rip-lines"
	Windrows Purpose = "windrows"
	Batter   Purpose = "batter" // of a gully head or wall, with what is sown on it
	Scald    Purpose = "scald"  // ponds, pits, gypsum and seed on one
)

// Purposes lists every purpose.
var Purposes = []Purpose{Dams, WhoaBoys, PeakFlow, Forage, Banks, RipLines, Windrows, Batter, Scald}

// planner is how something is planned: by which computation, on features of which kinds, and which
// fields of the input come from the register alone.
type planner struct {
	computation string
	kinds       []string
	recorded    []string
	own         []string // fields that the plan takes, and the computation does not
	on          string   // as a sentence has it
	called      string   // what the plan is called, before the feature's name
	draft       func(*drafting)
	levels      string                      // the field of the input that has the levels of a run; "": none
	runs        func(*drafting) []*levelled // the runs that they come from, the best first

	stands func(p *Property, plan, run *recorded.Item, r rest, all []rest) bool // whether an edited run still gives what the plan took; nil: by levels and runs

	says    func(d *Draft, answer json.RawMessage) []string                           // nil: nothing besides the answer
	adopt   func(a *adopting, answer json.RawMessage) error                           // proposes the works of an answer; nil: the plan alone is kept
	changed func(p *Property, plan *recorded.Item, used map[string]bool) []BaseChange // what it would rest on now besides; nil: level runs alone
}

var planned = map[Purpose]planner{}

func init() { // the planners refer to the table
	planned[Dams] = planner{computation: "dam-layout", kinds: []string{"thalweg"}, recorded: []string{"bed", "turnedAtM", "basis", "sections"}, on: "along a thalweg", called: "Dams along ",
		draft: (*drafting).dams, levels: "bed", runs: (*drafting).bedRuns, says: (*Draft).damsBeside, adopt: (*adopting).dams, changed: (*Property).acrossChanged}
	planned[WhoaBoys] = planner{computation: "whoa-boys", kinds: []string{"track", "fence"}, recorded: []string{"track", "basis"}, on: "along a track or a fence", called: "Whoa-boys along ",
		draft: (*drafting).whoaBoys, levels: "track", runs: (*drafting).trackRuns, says: (*Draft).whoaBoysBeside, adopt: (*adopting).whoaBoys}
	planned[PeakFlow] = planner{computation: "peak-flow", kinds: []string{"gully-head"}, on: "for a gully head", called: "Peak flow to ", draft: (*drafting).peakFlow}
}

// ComputationOf names the computation that plans it, "" for what cannot be planned.
func ComputationOf(p Purpose) string { return planned[p].computation }

// Request is what an officer asks for.
type Request struct {
	Of    string  `json:"of"` // id or name of the feature
	Plans Purpose `json:"plans"`
	Run   string  `json:"run,omitempty"` // id or name of the level run to use; "": the newest that closes

	// ZeroAt is the end of a track's line at which its chainages begin, as the field chainageZero of
	// a thalweg has it; "": not known.
	ZeroAt string `json:"zeroAt,omitempty"`

	// Given are fields of the computation's input, besides what was recorded. Chainages among them run
	// as those of the draft: up a gully from its downstream end.
	Given map[string]json.RawMessage `json:"given,omitempty"`

	// Compare are values of one field of the input, each of which is planned by itself.
	Compare map[string][]json.RawMessage `json:"compare,omitempty"`
}

// check refuses what does not fit together; item is the feature that the request is about.
func (p *Property) check(r Request) (*recorded.Item, error) {
	plan, ok := planned[r.Plans]
	if !ok {
		return nil, &model.Problem{Path: "plans", Reason: fmt.Sprintf("%q cannot be planned", string(r.Plans)), Fix: "give one of " + strings.Join(model.Each(Purposes, func(p Purpose) string { return string(p) }), ", ")}
	}
	item, err := p.Find(r.Of, plan.kinds...)
	if err != nil {
		return nil, err
	}
	if !slices.Contains(plan.kinds, item.Kind) {
		return nil, &model.Problem{Path: "of", Reason: fmt.Sprintf("%s is a %s, and %s are planned %s", item.Called(), recorded.KindWords(item.Kind), r.Plans, plan.on)}
	}
	for _, name := range plan.recorded {
		if _, given := r.Given[name]; given {
			return nil, &model.Problem{Path: name, Reason: "comes from the register and cannot be given", Fix: "calculate with other levels by headcut compute " + plan.computation}
		}
	}
	if _, given := r.Given["heightsM"]; given && r.Plans == Dams {
		return nil, &model.Problem{Path: "heightsM", Reason: "would lay out each height on the reaches that are kept free for the first, and drown dams that stand", Fix: "compare values of crestHeightM, each of which is planned by itself"}
	}
	return item, nil
}

// input is the JSON object of a computation's inputs, in the order in which they were put in.
type input []member

type member struct {
	name string
	raw  json.RawMessage
}

func (in *input) put(name string, value any) {
	*in = append(*in, member{name, inJSON(value)})
}

func inJSON(value any) json.RawMessage {
	raw, err := jsonvalue.Marshal(value)
	if err != nil {
		panic(err) // finite numbers, texts and lists of them always can be written
	}
	return raw
}

func (in input) has(name string) bool {
	return slices.ContainsFunc(in, func(m member) bool { return m.name == name })
}

// give puts in what was given and is not there yet.
func (in *input) give(given map[string]json.RawMessage) {
	for _, name := range model.Keys(given) {
		if !in.has(name) {
			*in = append(*in, member{name, given[name]})
		}
	}
}

func (in input) json() json.RawMessage {
	size := 2
	for _, m := range in {
		size += len(m.name) + len(m.raw) + len(`"":,`)
	}
	text := append(make([]byte, 0, size), '{')
	for i, m := range in {
		if i > 0 {
			text = append(text, ',')
		}
		text = append(append(strconv.AppendQuote(text, m.name), ':'), m.raw...)
	}
	return append(text, '}')
}

// putJoined puts in a list of what was recorded, behind what was given of it.
func (in *input) putJoined(name string, recorded any, given json.RawMessage) {
	in.put(name, recorded)
	var before []json.RawMessage
	if jsonvalue.Unmarshal(given, &before) != nil || len(before) == 0 {
		return // what is no list the computation would refuse, and gets none
	}
	var all []json.RawMessage
	last := &(*in)[len(*in)-1]
	if jsonvalue.Unmarshal(last.raw, &all) == nil {
		last.raw, _ = jsonvalue.Marshal(append(before, all...))
	}
}
