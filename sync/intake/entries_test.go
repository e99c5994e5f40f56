package intake

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/sync/register"
)

// checkEntries makes sure that a register takes all that was read.
func checkEntries(t testing.TB, file File) []json.RawMessage {
	t.Helper()
	entries, err := Entries(file, "sandalwood", "")
	if err != nil {
		t.Fatal(err)
	}
	var all []json.RawMessage
	seen := make(map[string]bool)
	for e := range entries {
		raw, err := register.Encode(e)
		if err != nil {
			t.Fatalf("an entry is refused: %v\n%s", err, e.Set)
		}
		back, err := register.Decode(raw)
		if err != nil {
			t.Fatalf("an entry is not read back: %v\n%s", err, raw)
		}
		if err := register.Check(back, Unsorted); err != nil {
			t.Fatalf("an entry's values are refused: %v\n%s", err, raw)
		}
		var again bytes.Buffer
		if err := json.Compact(&again, raw); err != nil || again.String() != string(raw) {
			t.Fatalf("an entry is not compact JSON: %s", raw)
		}
		if key := e.Device + " " + string(rune(e.DeviceSeq)); seen[key] || seen[string(e.ID)] {
			t.Fatalf("device %s or id %s stands twice", e.Device, e.ID)
		} else {
			seen[key], seen[string(e.ID)] = true, true
		}
		all = append(all, raw)
	}
	for _, r := range file.Records {
		var kind string
		_ = json.Unmarshal(r.Fields["kind"], &kind)
		if kind == "" {
			t.Fatalf("line %d: a record has no kind", r.Line)
		}
		if problems := model.CheckFields(kind, model.FieldValuesOf(r.Fields)); len(problems) > 0 {
			t.Fatalf("line %d: %v", r.Line, problems[0])
		}
		if g := geometryOf(t, r); g != nil {
			inRange(t, g)
		}
	}
	return all
}

func inRange(t testing.TB, g orb.Geometry) {
	t.Helper()
	b := g.Bound()
	for _, p := range []orb.Point{b.Min, b.Max} {
		if math.IsNaN(p[0]) || math.IsNaN(p[1]) || math.Abs(p[0]) > 180 || math.Abs(p[1]) > 90 {
			t.Fatalf("a position is off the earth: %v", p)
		}
	}
}

func mustRead(t testing.TB, text string) File {
	t.Helper()
	file, err := Read("case", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return file
}
