package wire_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/wire"
)

var update = flag.Bool("update", false, "write the samples of the present version again")

const (
	entry1 = `{"v":1,"id":"019a0000-0000-7000-8000-000000000001","note":"a < b & c, 12.50 \n ü"}`
	entry2 = `{ "v" : 1e0, "id":"019a0000-0000-7000-8000-000000000002" }`
)

var at = store.Position{Epoch: "019a0000-0000-7000-8000-0000000000ee", N: 7, Hash: register.HashOf([]byte("seven"))}

// samples has one frame of each type with every member set, but for those that came later:
// they are in a sample of their own.
var samples = map[string]wire.Frame{
	"hello": &wire.Hello{Version: 1, Token: "a token", Device: "device-1", ClockMS: 1764066000123},
	"push":  &wire.Push{Push: 3, Property: "creek", Entries: []json.RawMessage{[]byte(entry1), []byte(entry2)}},
	"pull":  &wire.Pull{Property: "creek", At: at, Entries: 25},
	"begin": &wire.Begin{Property: "hut", Name: "Old Hut"},
	"begun": &wire.Begun{Property: wire.Property{ID: "hut", Name: "Old Hut", Begun: true}},
	// of servers that tell of the properties
	"welcome-about": &wire.Welcome{Version: 2, Device: "device-1", ClockMS: 1764066000456, Properties: []string{"creek", "hut"},
		Epoch: at.Epoch, Limits: wire.Limits{Entries: 256, Bytes: 1 << 20}, PingMS: 10000,
		About: []wire.Property{{ID: "creek", Name: "Creek Block"}, {ID: "hut", Name: "Old Hut", Into: "creek"}}},
	"missing": &wire.Missing{Property: "creek", IDs: []register.ID{"019a0000-0000-7000-8000-000000000001",
		"019a0000-0000-7000-8000-000000000002"}},
	"welcome": &wire.Welcome{Version: 1, Device: "device-1", ClockMS: 1764066000456, Properties: []string{"creek", "ridge"},
		Epoch: at.Epoch, Limits: wire.Limits{Entries: 256, Bytes: 1 << 20}, PingMS: 10000},
	"receipts": &wire.Receipts{Push: 3, Property: "creek", Receipts: []store.Receipt{
		{ID: "019a0000-0000-7000-8000-000000000001", N: 8, HighSeq: 4, ClockOffS: -90000},
		{ID: "019a0000-0000-7000-8000-000000000002", N: 2, Known: true, HighSeq: 4},
		{ID: "019a0000-0000-7000-8000-000000000003", Refused: "deviceSeq: is taken", Cloned: true, HighSeq: 4}}},
	"page": &wire.Page{Property: "creek", First: 8, ArrivedMS: []int64{1764066000456, 1764066000456}, At: at, More: true,
		Entries: []json.RawMessage{[]byte(entry1), []byte(entry2)}},
	// of servers that tell how much there is
	"page-last": &wire.Page{Property: "creek", First: 8, ArrivedMS: []int64{1764066000456}, At: at, Last: 5000, More: true,
		Entries: []json.RawMessage{[]byte(entry1)}},
	"forked": &wire.Forked{Property: "creek", Epochs: []wire.Epoch{{ID: at.Epoch}, {ID: "019a0000-0000-7000-8000-0000000000ef", Branch: 7}},
		Marks: []store.Position{at, {Epoch: at.Epoch}}},
	"lacks":   &wire.Lacks{Property: "creek", IDs: []register.ID{"019a0000-0000-7000-8000-000000000002"}},
	"hint":    &wire.Hint{Property: "creek", N: 9},
	"wanted":  &wire.Wanted{Photos: []register.Hash{register.HashOf([]byte("one")), register.HashOf([]byte("two"))}},
	"later":   &wire.Later{AfterMS: 1000, WithinMS: 30000},
	"problem": &wire.Problem{Push: 3, Property: "ridge", Closing: true, Problem: model.Problem{Path: "property", Reason: "this device has no right to it", Fix: "ask the office"}},
}

var sinceVersion2 = []string{"begin", "wanted", "begun", "welcome-about"}

// TestSamplesOfEveryVersion reads what was ever shipped. Samples of the present version
// must also be what is written today, byte for byte.
func TestSamplesOfEveryVersion(t *testing.T) {
	if *update {
		for name, frame := range samples {
			data, err := wire.Append(nil, frame)
			if err != nil {
				t.Fatal(err)
			}
			version := "version1"
			if slices.Contains(sinceVersion2, name) {
				version = "version2"
			}
			if err := os.WriteFile(filepath.Join("testdata", version, name+".txt"), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	files, err := filepath.Glob("testdata/version*/*.txt")
	if err != nil || len(files) < len(samples) {
		t.Fatalf("found %d samples (%v), want at least the %d that there are", len(files), err, len(samples))
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".txt")
		t.Run(filepath.Base(filepath.Dir(file))+"-"+name, func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			got, err := wire.Decode(data)
			if err != nil {
				t.Fatalf("Decode(%s): %v", data, err)
			}
			if want := samples[name]; !reflect.DeepEqual(got, want) {
				t.Errorf("Decode(%s)\ngot  %+v\nwant %+v", data, got, want)
			}
			back, err := wire.Append(nil, samples[name])
			if err != nil || !bytes.Equal(back, data) {
				t.Errorf("Append wrote %s (%v)\nwant %s", back, err, data)
			}
		})
	}
}

func TestUnknownTypesAndMembersArePassedOver(t *testing.T) {
	got, err := wire.Decode([]byte(`{"type":"weather","rain":true}` + "\nand\nlines"))
	if u, ok := got.(*wire.Unknown); err != nil || !ok || u.Type != "weather" {
		t.Errorf("Decode of an unknown type: got %+v, %v, want an Unknown", got, err)
	}
	got, err = wire.Decode([]byte(`{"type":"hint","property":"creek","n":9,"by":{"device":"x"}}`))
	if want := samples["hint"]; err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("Decode with an unknown member: got %+v, %v, want %+v", got, err, want)
	}
}

func TestBrokenFramesNameTheMember(t *testing.T) {
	for name, c := range map[string]struct{ data, path string }{
		"empty":             {"", "frame"},
		"not-json":          {"push it", "frame"},
		"cut-short":         {`{"type":"push","push":3`, "frame"},
		"an-array":          {`["push"]`, "frame"},
		"no-type":           {`{"push":3}`, "type"},
		"type-null":         {`{"type":null}`, "type"},
		"push-then-null":    {`{"type":"push","type":null}`, "type"},
		"push-then-pull":    {`{"type":"push","push":1,"type":"pull","at":{"n":"seven"}}`, "at.n"},
		"type-number":       {`{"type":7}`, "type"},
		"property-number":   {`{"type":"push","property":7}`, "property"},
		"push-negative":     {`{"type":"push","push":-1}`, "push"},
		"n-fraction":        {`{"type":"hint","n":1.5}`, "n"},
		"deep-member":       {`{"type":"pull","at":{"n":"seven"}}`, "at.n"},
		"times-lack":        {`{"type":"page","arrivedMS":[1]}` + "\n{}\n{}", "arrivedMS"},
		"too-many-entries":  {`{"type":"push","push":1}` + strings.Repeat("\n{}", wire.MaxEntries+1), "entries"},
		"too-many-ids":      {`{"type":"missing","ids":[` + strings.Repeat(`"a",`, wire.MaxIDs) + `"a"]}`, "ids"},
		"infinite-number":   {`{"type":"hint","n":1e999}`, "n"},
		"hash-of-odd-digit": {`{"type":"pull","at":{"hash":"xyz"}}`, "frame"},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := wire.Decode([]byte(c.data))
			problem, ok := errors.AsType[*model.Problem](err)
			if !ok || problem.Path != c.path || problem.Reason == "" {
				t.Errorf("Decode(%.60q): got %+v, %v, want a Problem at %q", c.data, got, err, c.path)
			}
		})
	}
}

func TestEntriesThatAreNotOneLineCannotTravel(t *testing.T) {
	for name, entry := range map[string]string{"line-feed": "{\n}", "empty": ""} {
		t.Run(name, func(t *testing.T) {
			got, err := wire.Append([]byte("before"), &wire.Push{Entries: []json.RawMessage{[]byte("{}"), []byte(entry)}})
			problem, ok := errors.AsType[*model.Problem](err)
			if !ok || problem.Path != "entries[1]" || string(got) != "before" {
				t.Errorf("Append with entry %q: got %q, %v, want a Problem at entries[1] and nothing written", entry, got, err)
			}
		})
	}
}

// TestPositionChains checks the chain against SHA-256 of the two hashes one after the
// other, as storage's rule for it is written.
func TestPositionChains(t *testing.T) {
	entry := register.HashOf([]byte(entry1))
	got := at.After(entry)
	want := store.Position{Epoch: at.Epoch, N: 8, Hash: register.HashOf(slices.Concat(at.Hash[:], entry[:]))}
	if got != want {
		t.Errorf("After: got %+v, want %+v", got, want)
	}
}

// FuzzDecode looks for panics, and for frames that do not survive being written again.
func FuzzDecode(f *testing.F) {
	for _, frame := range samples {
		data, err := wire.Append(nil, frame)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
		f.Add(data[:len(data)/2])
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		frame, err := wire.Decode(data)
		if err != nil {
			if _, ok := errors.AsType[*model.Problem](err); !ok {
				t.Fatalf("Decode(%q): error %v is not a Problem", data, err)
			}
			return
		}
		if _, ok := frame.(*wire.Unknown); ok {
			return
		}
		again, err := wire.Append(nil, frame)
		if err != nil {
			return // an empty line
		}
		back, err := wire.Decode(again)
		if err != nil {
			t.Fatalf("Decode of what was written of %q: %v\n%q", data, err, again)
		}
		third, err := wire.Append(nil, back)
		if err != nil || !bytes.Equal(third, again) {
			t.Fatalf("written twice, %q differs: %q and %q (%v)", data, again, third, err)
		}
	})
}
