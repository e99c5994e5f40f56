package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"unicode"

	"headcut/model/modeltest"
)

// exported is a GeoJSON file's features by id.
func exported(t *testing.T, raw []byte) map[string]map[string]any {
	t.Helper()
	var file struct {
		Features []struct {
			ID         string
			Geometry   any
			Properties map[string]any
		}
	}
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	all := map[string]map[string]any{}
	for _, f := range file.Features {
		f.Properties["geometry"] = f.Geometry
		all[f.ID] = f.Properties
	}
	return all
}

// meant are the columns whose values this version gives otherwise than the old one, and how it
// may: everything else must be as it was.
var meant = map[string]func(was any, now map[string]any) bool{
	// A word that was renamed is read as what it means now.
	"condition": func(was any, now map[string]any) bool { return was == "holding" && now["condition"] == "sound" },
	// Sentences have other words now, and there may be more; none is lost.
	"cautions": func(_ any, now map[string]any) bool { return now["cautions"] != nil && now["cautions"] != "" },
	"checks":   func(_ any, now map[string]any) bool { return now["checks"] != nil && now["checks"] != "" },
	// The figures of a dam stand in columns of their own, beside what was recorded of it. A height
	// of which nobody recorded how it was measured is no more called taped, and has no ±.
	"crestHeightPlusMinusM": movedTo("computedCrestHeightPlusMinusM", 0.05, nil),
	"crestHeightBasis":      movedTo("computedCrestHeightBasis", "taped", "not recorded"),
	"chainagePlusMinusM":    movedTo("computedChainagePlusMinusM", nil, nil),
	"chainageBasis":         movedTo("computedChainageBasis", nil, nil),
	// Dam 7 is on the tape and the next one where its fix lies: the error of the line's place is in
	// their spacing.
	"spacingPlusMinusM": func(was any, now map[string]any) bool {
		return now["name"] == "Dam 7" && was == 3.0004 && now["spacingPlusMinusM"] == 5.49
	},
	"lengthBasis": func(was any, now map[string]any) bool {
		return now["kind"] == "unsorted" && was == "GPS" && now["lengthBasis"] == "not recorded"
	},
}

// movedTo allows a dam's figure in another column, as it was or, where it was claimed, as this.
func movedTo(column string, claimed, instead any) func(was any, now map[string]any) bool {
	return func(was any, now map[string]any) bool {
		return now["kind"] == "check-dam" && (now[column] == was || rounded(column, was, now) || claimed != nil && was == claimed && now[column] == instead)
	}
}

// rounded allows a figure that ends two digits after the first of its ± now, as its ± does, or at
// the millimetre where it has none: it is off by half of the last digit at most.
func rounded(column string, was any, now map[string]any) bool {
	before, is := was.(float64)
	after, still := now[column].(float64)
	if !is || !still {
		return false
	}
	plusMinus := after
	if !strings.Contains(column, "PlusMinus") {
		unit := strings.LastIndexFunc(column, unicode.IsUpper) // of lengthM and areaM2
		plusMinus, _ = now[column[:unit]+"PlusMinus"+column[unit:]].(float64)
	}
	return math.Abs(before-after) <= max(0.00051, 0.0051*plusMinus)
}

// A register that an older version left is sound, and its export says what it said then.
func TestOldRegister(t *testing.T) {
	data := t.TempDir()
	if err := os.WriteFile(filepath.Join(data, "register.bolt"), modeltest.Unpacked(t, "oldregister/register.bolt.gz"), 0o600); err != nil {
		t.Fatal(err)
	}
	headcut := func(args ...string) string {
		t.Helper()
		var said, faults bytes.Buffer
		if code := run(context.Background(), args, nil, &said, &faults); code != 0 {
			t.Fatalf("headcut %v ended with %d: %s%s", args, code, said.String(), faults.String())
		}
		return said.String()
	}
	if said := headcut("verify", "--data", data); !strings.HasPrefix(said, "Sound: 72 entries, 61 features and 0 photos on 1 property") || !strings.Contains(said, "not come yet: 3") {
		t.Errorf("verify says %q", said)
	}
	out := filepath.Join(data, "now.geojson")
	headcut("export", "--data", data, "--property", "Sandalwood Run", "--format", "geojson", "--out", out)
	raw, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	was, now := exported(t, modeltest.Unpacked(t, "oldregister/sandalwood-run.geojson.gz")), exported(t, raw)
	if len(now) != len(was) || len(was) != 61 {
		t.Errorf("%d features are exported, want the %d of then", len(now), len(was))
	}
	used, compared := map[string]int{}, 0
	for id, then := range was {
		kind := fmt.Sprint(then["kind"])
		if now[id] == nil {
			t.Errorf("%s %s is gone", kind, id)
			continue
		}
		for column, value := range then {
			compared++
			if got := now[id][column]; !reflect.DeepEqual(got, value) {
				if may := meant[column]; !rounded(column, value, now[id]) && (may == nil || !may(value, now[id])) {
					t.Errorf("%s %v: %s was %v and is %v", kind, then["name"], column, value, got)
				}
				used[column]++
			}
		}
	}
	if compared < 1000 || used["condition"] != 7 {
		t.Errorf("%d values were compared and %d conditions renamed, want over 1,000 and 7", compared, used["condition"])
	}
	for column := range meant {
		if used[column] == 0 {
			t.Errorf("%s is as it was: strike it from the list", column)
		}
	}
	if bytes.Contains(raw, []byte("holding")) {
		t.Error("a word that is spoken no more is exported")
	}
	kml := filepath.Join(data, "now.kml")
	headcut("export", "--data", data, "--property", "Sandalwood Run", "--format", "kml", "--out", kml)
	written, err := os.ReadFile(kml)
	if err != nil {
		t.Fatal(err)
	}
	for id, then := range was {
		if name, ok := then["name"].(string); ok && then["geometry"] != nil && !bytes.Contains(written, []byte(strings.ReplaceAll(name, "&", "&amp;"))) {
			t.Errorf("the KML has no %s (%s)", name, id)
		}
	}
}

// An export of an older version has no versions: taken in again it doubles nothing. What it
// says otherwise than the register is left out and named.
func TestOldExportIsTakenInAgain(t *testing.T) {
	dir := t.TempDir()
	data, file := filepath.Join(dir, "data"), filepath.Join(dir, "old.geojson")
	if err := os.Mkdir(data, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(data, "register.bolt"), modeltest.Unpacked(t, "oldregister/register.bolt.gz"), 0o600); err != nil {
		t.Fatal(err)
	}
	old := modeltest.Unpacked(t, "oldregister/sandalwood-run.geojson.gz")
	if bytes.Contains(old, []byte(`"version":`)) {
		t.Fatal("the old export has versions")
	}
	take := func(raw []byte, more ...string) (code int, said, faults string) {
		t.Helper()
		if err := os.WriteFile(file, raw, 0o600); err != nil {
			t.Fatal(err)
		}
		var out, bad bytes.Buffer
		code = run(context.Background(), append(append([]string{"intake", "--data", data, "--property", "Sandalwood Run"}, more...), file), nil, &out, &bad)
		return code, out.String(), bad.String()
	}
	for _, more := range [][]string{{"--dry-run"}, nil} {
		if code, said, faults := take(old, more...); code != 0 || !strings.Contains(said, "0 new, 61 known already, 0 edited, of 61 features") {
			t.Errorf("intake %v of the old export ended with %d: %s%s", more, code, said, faults)
		}
	}
	edited := bytes.Replace(old, []byte(`"name":"Dam 3"`), []byte(`"name":"Dam three"`), 1)
	if bytes.Equal(edited, old) {
		t.Fatal("the old export has no Dam 3")
	}
	code, said, faults := take(edited)
	if code != 1 || !strings.Contains(said, "0 new, 61 known already, 0 edited") || !strings.Contains(said, "Dam 3 differs from the register in Name: which is newer cannot be known") || !strings.Contains(faults, "1 part of the file was left out") {
		t.Errorf("intake of the edited old export ended with %d: %s%s", code, said, faults)
	}
	if code, said, faults := take(append([]byte(nil), bytes.ReplaceAll(old, []byte(`"uid":`), []byte(`"uid2":`))...), "--dry-run"); code != 0 || !strings.Contains(said, "61 new") {
		t.Errorf("without uids ended with %d: %s%s", code, said, faults)
	}
}
