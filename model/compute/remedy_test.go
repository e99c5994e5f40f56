package compute

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// leaves calls visit for each value of a decoded JSON text with a function that puts another
// in its place.
func leaves(v any, path string, set func(any), visit func(path string, v any, set func(any))) {
	switch v := v.(type) {
	case map[string]any:
		for name, inner := range v {
			leaves(inner, strings.TrimPrefix(path+"."+name, "."), func(to any) { v[name] = to }, visit)
		}
	case []any:
		for i, inner := range v[:min(len(v), 3)] {
			leaves(inner, fmt.Sprintf("%s[%d]", path, i), func(to any) { v[i] = to }, visit)
		}
	}
	visit(path, v, set)
}

// inputs calls visit for each value of each golden input of a computation that is answered.
func inputs(t *testing.T, c Computation, visit func(path string, v any, with func(any) []byte)) {
	t.Helper()
	for _, g := range modeltest.Goldens(t, c.Name) {
		var whole any
		decoder := json.NewDecoder(strings.NewReader(string(g.In())))
		decoder.UseNumber()
		if _, refused := Answer(c.Name, g.In()); refused || decoder.Decode(&whole) != nil {
			continue
		}
		leaves(whole, "", func(to any) { whole = to }, func(path string, v any, set func(any)) {
			visit(path, v, func(to any) []byte {
				set(to)
				text, err := json.Marshal(whole)
				set(v)
				if err != nil {
					t.Fatal(err)
				}
				return text
			})
		})
	}
}

// problemOf is the refusal of an input, nil when it is answered.
func problemOf(t *testing.T, name string, in []byte) *model.Problem {
	t.Helper()
	_, err := Run(name, in)
	if err == nil {
		return nil
	}
	return problem(err)
}

// TestEveryRefusalHasARemedy gives every computation its own inputs with one value spoilt
// at a time: whatever is refused says what is wrong, where, and what to do.
func TestEveryRefusalHasARemedy(t *testing.T) {
	spoilt := []any{"1.2 m", json.Number("1e400"), json.Number("-1"), json.Number("1e9"), json.Number("-1e9"), json.Number("0"), json.Number("1.01"), true, []any{}, map[string]any{}, []any{json.Number("1")}, map[string]any{"nothing": 1}}
	noRemedy := regexp.MustCompile(`^(it is|there is|a bracket) `)
	for _, c := range All() {
		t.Run(c.Name, func(t *testing.T) {
			told := map[string]bool{}
			judge := func(in []byte, whole bool) {
				p := problemOf(t, c.Name, in)
				if p == nil {
					return
				}
				if strings.HasPrefix(p.Reason, "the input ") {
					whole = true
				}
				if p.Reason == "" || p.Fix == "" || noRemedy.MatchString(p.Fix) || !whole && p.Path == "" && p.Line == 0 {
					if key := p.Path + p.Reason; !told[key] && len(told) < 20 {
						told[key] = true
						t.Errorf("%.150s is refused without a place or a remedy: %+v", in, *p)
					}
				}
			}
			inputs(t, c, func(path string, _ any, with func(any) []byte) {
				if path == "" {
					text := with(nil)
					for _, in := range []string{"", "[1", `{"`, `{"a`, `{"a":`, "{", "[]", `"text"`, "1", "{}}", string(text)} {
						judge([]byte(in), true)
					}
					return
				}
				for _, v := range spoilt {
					judge(with(v), false)
				}
			})
			for _, g := range modeltest.Goldens(t, c.Name) {
				judge(g.In(), false)
				judge(g.In()[:len(g.In())*2/3], false)
			}
		})
	}
	if p := problemOf(t, "no-such", []byte("{}")); p == nil || p.Fix == "" {
		t.Errorf("a name that is none: %v, want a remedy", p)
	}
}

// A limit as refusals print it, and whether it takes the figure itself.
var printedLimits = []struct {
	pattern *regexp.Regexp
	takes   []bool // of the figures that the pattern finds
}{
	{regexp.MustCompile(`more than the (-?[\d.]+) `), []bool{true}},
	{regexp.MustCompile(`from (-?[\d.]+)(?: %)? to (-?[\d.]+) `), []bool{true, true}},
	{regexp.MustCompile(`above (-?[\d.]+) and up to (-?[\d.]+) `), []bool{false, true}},
	{regexp.MustCompile(`(?:at most|up to|limit of) (-?[\d.]+) `), []bool{true}},
	{regexp.MustCompile(`(?:at least) (-?[\d.]+) `), []bool{true}},
	{regexp.MustCompile(`(?:below|under) (-?[\d.]+) `), []bool{false}},
}

// rule is a refusal without the value that it begins with.
func rule(p *model.Problem) string {
	_, rest, _ := strings.Cut(p.Reason, " ")
	return rest
}

// TestLimitsTakeWhatTheySay pushes every number of every computation's own inputs beyond its
// limits, and tries the figures that the refusal prints: "up to 3" takes 3, "below 3" does not.
func TestLimitsTakeWhatTheySay(t *testing.T) {
	tried := 0
	for _, c := range All() {
		t.Run(c.Name, func(t *testing.T) {
			told := map[string]bool{}
			inputs(t, c, func(path string, v any, with func(any) []byte) {
				if _, number := v.(json.Number); !number {
					return
				}
				for _, beyond := range []string{"-1e-6", "-1e7", "1e7", "1e4", "200"} {
					p := problemOf(t, c.Name, with(json.Number(beyond)))
					if p == nil || p.Path != path {
						continue
					}
					for _, l := range printedLimits {
						found := l.pattern.FindStringSubmatch(p.Reason + " ")
						if found == nil {
							continue
						}
						for i, takes := range l.takes {
							figure := strings.TrimRight(found[i+1], ".")
							if n, err := strconv.ParseFloat(figure, 64); err != nil || math.IsInf(n, 0) {
								continue
							}
							tried++
							// Another rule may still refuse it; that one then says otherwise.
							again := problemOf(t, c.Name, with(json.Number(figure)))
							refused := again != nil && again.Path == path && rule(again) == rule(p)
							if refused == takes && !told[path+p.Reason] {
								told[path+p.Reason] = true
								t.Errorf("%s %s: %q, and %s itself is refused: %v, want %v", path, beyond, p.Reason, figure, refused, !takes)
							}
						}
						break
					}
				}
			})
		})
	}
	if tried < 300 {
		t.Errorf("only %d printed limits were found to try: the patterns are wrong", tried)
	}
}

// TestNoAnswerHasAnEmptyText: what is not known, or was not named, is left out.
func TestNoAnswerHasAnEmptyText(t *testing.T) {
	for _, c := range All() {
		told := map[string]bool{}
		for _, g := range modeltest.Goldens(t, c.Name) {
			var answer any
			if text, refused := Answer(c.Name, g.In()); refused || json.Unmarshal(text, &answer) != nil {
				continue
			}
			leaves(answer, "", func(any) {}, func(path string, v any, _ func(any)) {
				if text, ok := v.(string); (ok && text == "" || v == nil) && !told[path] {
					told[path] = true
					t.Errorf("%s, %s: %s is %v, want it left out", c.Name, g.Name, path, v)
				}
			})
		}
	}
}

// TestOneNameForOneThing: names of the rock dam that meant two things, or one thing twice.
func TestOneNameForOneThing(t *testing.T) {
	names := func(all []Parameter) (found map[string]bool) {
		found = map[string]bool{}
		for _, p := range all {
			found[p.Name] = true
		}
		return found
	}
	dam, _ := Named("rock-dam")
	volume, _ := Named("gully-volume")
	if out := names(dam.Outputs()); out["crestLengthM"] || !out["shoulderLengthM"] {
		t.Error("rock-dam calls the length along its shoulders what notch calls that of the notch's bottom")
	}
	if in, other := names(dam.Inputs()), names(volume.Inputs()); !in["bulkDensityTM3"] || !other["bulkDensityTM3"] {
		t.Error("rock-dam and gully-volume call a bulk density differently")
	}
}
