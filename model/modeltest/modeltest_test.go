package modeltest

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
)

func TestEveryReferenceFileLoads(t *testing.T) {
	for file, want := range map[string]int{"survey": 68, "gully": 112, "runoff": 91, "monitor": 46, "grazing": 157, "banks": 190} {
		cases := Cases(t, file)
		if len(cases) != want {
			t.Errorf("%s has %d cases, want %d", file, len(cases), want)
		}
		seen := map[string]bool{}
		for _, c := range cases {
			if seen[c.ID] {
				t.Errorf("%s has two cases %s", file, c.ID)
			}
			seen[c.ID] = true
			if c.Source == "" {
				t.Errorf("%s %s names no source", file, c.ID)
			}
			if c.Tolerance.Allows("x", math.NaN(), 1) {
				t.Errorf("%s %s: tolerance %s lets NaN pass", file, c.ID, c.Tolerance)
			}
		}
	}
}

func TestTolerances(t *testing.T) {
	tests := []struct {
		text, name string
		got, want  float64
		ok         bool
	}{
		{"0.001 m", "length_m", 10.0009, 10, true},
		{"0.001 m", "length_m", 10.0011, 10, false},
		{"0.01", "a", -5.009, -5, true},
		{"0.01", "a", -5.011, -5, false},
		{"0.1%", "a", 100.09, 100, true},
		{"0.1%", "a", 100.11, 100, false},
		{"0.5 percent", "a", 99.6, 100, true},
		{"0.5 percent", "a", 99.4, 100, false},
		{"max(0.01 m2, 1e-6 relative)", "area_m2", 5000004.9, 5000000, true},
		{"max(0.01 m2, 1e-6 relative)", "area_m2", 5000005.1, 5000000, false},
		{"max(0.01 m2, 1e-6 relative)", "area_m2", 50.009, 50, true},
		{"max(0.01 m2, 1e-6 relative)", "area_m2", 50.011, 50, false},
		{"0.001 cfs; 0.1 m3/s", "Q_cfs", 146.9445, 146.944, true},
		{"0.001 cfs; 0.1 m3/s", "Q_cfs", 146.95, 146.944, false},
		{"0.001 cfs; 0.1 m3/s", "Q_m3_s_from_SI", 4.25, 4.2, true},
		{"exact", "count", 4, 4, true},
		{"exact", "count", 4.0001, 4, false},
		{"exact at table points", "ft", 0.1 + 0.2, 0.3, true},
		{"exact on count", "raw", -1.2501, -1.25, false},
		{"0.01, exact on count", "raw", 43.759, 43.75, true},
		{"0.01, exact on count", "count", 44.009, 44, false},
		{"0.001", "a", math.NaN(), 1, false},
		{"0.001", "a", math.Inf(1), math.Inf(1), false},
	}
	for _, test := range tests {
		tol, err := ParseTolerance(test.text)
		if err != nil {
			t.Fatal(err)
		}
		if got := tol.Allows(test.name, test.got, test.want); got != test.ok {
			t.Errorf("%q allows %s = %v for %v: %v, want %v", test.text, test.name, test.got, test.want, got, test.ok)
		}
	}
	for _, bad := range []string{"", "about", "-1 m", "0", "max(1 m)", "max(1 m, x)", "NaN", "Inf"} {
		if tol, err := ParseTolerance(bad); err == nil {
			t.Errorf("ParseTolerance(%q) = %+v, want an error", bad, tol)
		}
	}
}

// watcher is a testing.TB that notes a failure instead of failing, to see that the loader
// and the comparisons do fail.
type watcher struct {
	testing.TB
	failed string
}

func (w *watcher) Helper() {}
func (w *watcher) Errorf(format string, args ...any) {
	w.failed = fmt.Sprintf(format, args...)
}
func (w *watcher) Fatalf(format string, args ...any) {
	w.Errorf(format, args...)
	runtime.Goexit()
}
func (w *watcher) Fatal(args ...any) { w.Fatalf("%s", fmt.Sprint(args...)) }

func failure(t *testing.T, f func(testing.TB)) string {
	w := &watcher{TB: t}
	done := make(chan struct{})
	go func() {
		defer close(done)
		f(w)
	}()
	<-done
	return w.failed
}

func TestFailsRatherThanFindsNothing(t *testing.T) {
	c := Named(t, "survey", "GL1")
	tests := map[string]func(testing.TB){
		"no-file":       func(t testing.TB) { Cases(t, "absent") },
		"no-topic":      func(t testing.TB) { Cases(t, "survey", "geodesic_length", "absent") },
		"no-id":         func(t testing.TB) { Named(t, "survey", "absent") },
		"no-input":      func(t testing.TB) { c.Number(t, "absent") },
		"wrong-shape":   func(t testing.TB) { c.Number(t, "name") },
		"wrong-number":  func(t testing.TB) { c.Check(t, "distance_m", 33.3) },
		"wrong-numbers": func(t testing.TB) { Named(t, "gully", "SP14").CheckAll(t, "chainages", []float64{0, 15}) },
	}
	for name, f := range tests {
		if failure(t, f) == "" {
			t.Errorf("%s: passed, want a failure", name)
		}
	}
	empty := filepath.Join(t.TempDir(), "empty.csv")
	if err := os.WriteFile(empty, []byte("id,topic,inputs_json,expected_json,tolerance,source,source_location,origin\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if failure(t, func(t testing.TB) { read(t, empty) }) == "" {
		t.Error("a file without cases loads, want a failure")
	}
	if said := failure(t, func(t testing.TB) { c.Check(t, "distance_m", 33.2739) }); said != "" {
		t.Errorf("the right number fails: %s", said)
	}
}

// TestWeakSourcesAreCalledSo: what rests on a text that nobody answers for says so.
func TestWeakSourcesAreCalledSo(t *testing.T) {
	weak := regexp.MustCompile(`(?i)\bwiki|\bblog\b|newspaper|\bcolumn on\b|public (web )?pages?\b|farmers weekly`)
	for _, file := range []string{"survey", "gully", "runoff", "monitor"} {
		for _, c := range Cases(t, file) {
			if weak.MatchString(c.Source+" "+c.Place) && !strings.Contains(c.Place, "weak source: ") {
				t.Errorf("%s %s rests on %q, %q and does not say that it is a weak source", file, c.ID, c.Source, c.Place)
			}
		}
	}
}
