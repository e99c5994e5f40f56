// Package modeltest reads the worked examples under testdata/reference for the tests of
// every package, and compares what was computed with what the source says, within the
// tolerance the source allows. It fails the test when it finds no example, so that a
// moved or renamed file can never pass for success.
//
// It is for tests only: no program imports it.
package modeltest

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// Case is one worked example.
type Case struct {
	ID        string // unique within its file
	Topic     string // what is computed: "geodesic_length"
	Inputs    map[string]json.RawMessage
	Expected  map[string]json.RawMessage
	Tolerance Tolerance
	Source    string // who published it
	Place     string // where in that text
	Origin    string // looked_up, from_memory, computed_with or derived_by_hand
}

var columns = []string{"id", "topic", "inputs_json", "expected_json", "tolerance", "source", "source_location", "origin"}

// Cases returns the examples of testdata/reference/FILE.csv about the topics, all of them
// when no topic is named. It fails the test when a topic has none.
func Cases(t testing.TB, file string, topics ...string) []Case {
	t.Helper()
	all := read(t, filepath.Join(Root(t), "reference", file+".csv"))
	if len(topics) == 0 {
		return all
	}
	for _, topic := range topics {
		if !slices.ContainsFunc(all, func(c Case) bool { return c.Topic == topic }) {
			t.Fatalf("testdata/reference/%s.csv has no case about %q", file, topic)
		}
	}
	return slices.DeleteFunc(all, func(c Case) bool { return !slices.Contains(topics, c.Topic) })
}

// Named returns the one example of the file with this id.
func Named(t testing.TB, file, id string) Case {
	t.Helper()
	for _, c := range Cases(t, file) {
		if c.ID == id {
			return c
		}
	}
	t.Fatalf("testdata/reference/%s.csv has no case %q", file, id)
	return Case{}
}

// Root is the path of the repository's testdata folder, found upwards from the folder of
// the package under test.
func Root(t testing.TB) string {
	t.Helper()
	folder, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(folder, "go.mod")); err == nil {
			return filepath.Join(folder, "testdata")
		}
		parent := filepath.Dir(folder)
		if parent == folder {
			t.Fatal("no go.mod above the package under test: where is testdata?")
		}
		folder = parent
	}
}

func read(t testing.TB, path string) []Case {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	if len(rows) < 2 || !slices.Equal(rows[0], columns) {
		t.Fatalf("%s: want the columns %q and at least one case, got %d rows", path, columns, len(rows))
	}
	cases := make([]Case, 0, len(rows)-1)
	for i, row := range rows[1:] {
		c := Case{ID: row[0], Topic: row[1], Source: row[5], Place: row[6], Origin: row[7]}
		if err := json.Unmarshal([]byte(row[2]), &c.Inputs); err != nil {
			t.Fatalf("%s: row %d, inputs: %v", path, i+2, err)
		}
		if err := json.Unmarshal([]byte(row[3]), &c.Expected); err != nil || len(c.Expected) == 0 {
			t.Fatalf("%s: row %d expects nothing, or is not JSON: %v", path, i+2, err)
		}
		if c.Tolerance, err = ParseTolerance(row[4]); err != nil {
			t.Fatalf("%s: row %d: %v", path, i+2, err)
		}
		cases = append(cases, c)
	}
	return cases
}
