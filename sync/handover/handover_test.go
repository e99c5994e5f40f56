package handover

import (
	"archive/tar"
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"headcut/model"
	"headcut/sync/register"
)

var about = About{Device: "d-1", Author: "R. Field", MadeAt: time.Date(2026, 3, 1, 16, 30, 0, 0, time.UTC)}

// written is a whole file of these items.
func written(t testing.TB, items ...Item) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, about, items); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func entry(property, text string) Item { return Item{Property: property, Entry: json.RawMessage(text)} }

func photo(body string) Item { return Item{SHA: register.HashOf([]byte(body)), Photo: []byte(body)} }

// read runs through a file whole.
func read(t testing.TB, file []byte) (items []Item, problems []*model.Problem, err error) {
	t.Helper()
	_, all, err := Read("saved.tar", bytes.NewReader(file))
	if err != nil {
		return nil, nil, err
	}
	for item, problem := range all {
		if problem != nil {
			problems = append(problems, problem)
			continue
		}
		items = append(items, item)
	}
	return items, problems, nil
}

func same(a, b Item) bool {
	return a.Property == b.Property && bytes.Equal(a.Entry, b.Entry) && a.SHA == b.SHA && bytes.Equal(a.Photo, b.Photo)
}

// What is read is what was written, to the byte, whatever the texts hold.
func TestReadGivesWhatWasWritten(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var entries, photos []Item
		for i := range rapid.IntRange(0, 20).Draw(rt, "entries") {
			entries = append(entries, entry(fmt.Sprint("p", i%3), rapid.String().Filter(func(s string) bool { return s != "" }).Draw(rt, "text")))
		}
		for range rapid.IntRange(0, 4).Draw(rt, "photos") {
			photos = append(photos, photo(string(rapid.SliceOfN(rapid.Byte(), 1, 3000).Draw(rt, "photo"))))
		}
		file := written(t, append(slices.Clone(photos), entries...)...)
		items, problems, err := read(t, file)
		if err != nil || len(problems) > 0 {
			rt.Fatalf("reading what was written: %v %v", err, problems)
		}
		if want := append(entries, photos...); !slices.EqualFunc(items, want, same) {
			rt.Errorf("got %v, want %v", items, want)
		}
		if !Recognise(file[:512]) {
			rt.Error("the file is not recognised")
		}
	})
}

// A seal holds for the very bytes, property and key that it was made for, through a file and back.
func TestSealHoldsForWhatWasSealed(t *testing.T) {
	key := KeyOf("token")
	good := entry("p", `{"v":1,"note":"grün \"x\""}`)
	good.Seal = key.Seal(good.Property, good.Entry)
	items, problems, err := read(t, written(t, good))
	if err != nil || len(problems) > 0 || !key.Sealed(items[0]) {
		t.Fatalf("read back: %+v %v %v, want it sealed", items, problems, err)
	}
	// From OpenSSL: printf '%s' 'token' | openssl dgst -sha256, then -mac HMAC -macopt hexkey: with it.
	if want := "7b8bb505b921747bf8c6623ca1dbb3a2f4032859b6c1c3230816f6b6fc31648d"; good.Seal != want {
		t.Errorf("the seal is %s, want %s", good.Seal, want)
	}
	for name, change := range map[string]func(*Item){
		"entry":    func(i *Item) { i.Entry = json.RawMessage(strings.Replace(string(i.Entry), "x", "y", 1)) },
		"property": func(i *Item) { i.Property = "q" },
		"seal":     func(i *Item) { i.Seal = i.Seal[:63] + "x" },
		"none":     func(i *Item) { i.Seal = "" },
		"photo":    func(i *Item) { i.Entry = nil },
	} {
		bad := good
		if change(&bad); key.Sealed(bad) {
			t.Errorf("with another %s the seal still holds", name)
		}
	}
	if key.Sealed(Item{SHA: register.HashOf(nil), Seal: key.Seal("", nil)}) {
		t.Error("a photo counts as a sealed entry")
	}
	if KeyOf("other").Sealed(good) {
		t.Error("another's key holds")
	}
	begun := Begun{ID: "p", Name: string(good.Entry), Seal: good.Seal}
	if key.Began(begun) {
		t.Error("an entry's seal holds for a property that was begun")
	}
	if begun.Seal = key.SealBegun(begun); !key.Began(begun) {
		t.Error("a property's seal does not hold")
	}
	if k, ok := KeyIn(register.HashOf([]byte("token")).String()); !ok || k != key {
		t.Error("the key is not read from the digest that a server keeps")
	}
	for _, bad := range []string{"", "00", "x"} {
		if _, ok := KeyIn(bad); ok {
			t.Errorf("%q is read as a key", bad)
		}
	}
}

// A file of version 1, as pages before seals wrote it, reads as one without seals. It is never rewritten.
func TestVersion1Reads(t *testing.T) {
	file, err := os.ReadFile("testdata/version1.tar")
	if err != nil {
		t.Fatal(err)
	}
	items, problems, err := read(t, file)
	if err != nil || len(items) != 3 || len(problems) > 0 {
		t.Fatalf("%d entries, %v %v, want 3", len(items), problems, err)
	}
	for _, item := range items {
		if e, err := register.Decode(item.Entry); err != nil || item.Seal != "" || string(e.Property) != item.Property {
			t.Errorf("%+v: %v, want an entry without a seal", item, err)
		}
	}
}

// GNU tar, another's archiver, must open a file and find the bytes.
func TestAnotherArchiverOpensTheFile(t *testing.T) {
	dir := t.TempDir()
	picture := photo("bytes of a photo")
	file := filepath.Join(dir, "saved.tar")
	if err := os.WriteFile(file, written(t, entry("p", `{"v":1,"note":"grün \"x\""}`), picture), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("tar", "-C", dir, "-xf", file).CombinedOutput(); err != nil {
		t.Fatalf("tar: %v: %s", err, out)
	}
	for name, want := range map[string]string{
		"entries.ndjson": `{"property":"p","entry":"{\"v\":1,\"note\":\"grün \\\"x\\\"\"}"}` + "\n",
		"photos/" + picture.SHA.String() + ".jpg": "bytes of a photo",
	} {
		if got, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(got) != want {
			t.Errorf("%s: got %q (%v), want %q", name, got, err, want)
		}
	}
}

// archived makes a file of any members, as a damaged or foreign one may have them.
func archived(t testing.TB, members ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := tar.NewWriter(&b)
	for i := 0; i+1 < len(members); i += 2 {
		if err := w.WriteHeader(&tar.Header{Name: members[i], Mode: 0o644, Size: int64(len(members[i+1]))}); err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(members[i+1])); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestReadRefusesWhole(t *testing.T) {
	good := written(t, entry("p", "{}"))
	for _, c := range []struct {
		name string
		file []byte
		want string
	}{
		{"empty", nil, "not a hand-over file"},
		{"text", []byte("station,backsight\n"), "not a hand-over file"},
		{"foreign-archive", archived(t, "readme.txt", "hello"), "not a hand-over file"},
		{"description-second", archived(t, "entries.ndjson", "", "about.json", "{}"), "not a hand-over file"},
		{"other-format", archived(t, "about.json", `{"format":"x","version":1}`), "does not say that this is a hand-over"},
		{"not-json", archived(t, "about.json", `{"format":`), "does not say that this is a hand-over"},
		{"author-twice", archived(t, "about.json", `{"format":"headcut hand-over","version":2,"author":"A. Field","Author":"B. Field"}`), "stands twice"},
		{"later-version", archived(t, "about.json", `{"format":"headcut hand-over","version":3}`), "use a newer headcut"},
		{"long-description", archived(t, "about.json", strings.Repeat(" ", MaxAbout+1)), "not a hand-over file"},
		{"cut-in-the-description", good[:600], "cut short"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, _, err := read(t, c.file); err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "saved.tar") {
				t.Errorf("got %v, want a problem of saved.tar with %q", err, c.want)
			}
		})
	}
}

const head = `{"format":"headcut hand-over","version":1,"device":"d","author":"a","madeAt":"2026-03-01T16:30:00Z","entries":2,"photos":1}`

// What is wrong with one item costs that item alone.
func TestReadKeepsTheGoodItems(t *testing.T) {
	picture := photo("bytes")
	name := "photos/" + picture.SHA.String() + ".jpg"
	lines := `{"property":"p","entry":"{1}"}` + "\n" + `{"property":"p","entry":"{2}"}` + "\n"
	whole := archived(t, "about.json", head, "entries.ndjson", lines, name, "bytes")
	for _, c := range []struct {
		name    string
		file    []byte
		entries int
		photos  int
		want    []string // of the problems, in order
	}{
		{"whole", whole, 2, 1, nil},
		{"unknown-member", archived(t, "about.json", head, "later.json", "{}", "entries.ndjson", lines, name, "bytes"), 2, 1, nil},
		{"bad-line", archived(t, "about.json", head, "entries.ndjson", `{"property":"p","entry":"{1}"}`+"\nnonsense\n"+`{"property":"p","entry":"{2}"}`, name, "bytes"), 2, 1, []string{"saved.tar:2: entries.ndjson: is not an entry"}},
		{"entry-as-object", archived(t, "about.json", head, "entries.ndjson", `{"property":"p","entry":{"v":1}}`+"\n"+lines, name, "bytes"), 2, 1, []string{"saved.tar:1"}},
		{"entry-of-nowhere", archived(t, "about.json", head, "entries.ndjson", `{"entry":"{0}"}`+"\n"+lines, name, "bytes"), 2, 1, []string{"saved.tar:1"}},
		{"long-line", archived(t, "about.json", head, "entries.ndjson", `{"property":"p","entry":"{1}"}`+"\n"+strings.Repeat("x", MaxLine+1), name, "bytes"), 1, 1, []string{"saved.tar:2: entries.ndjson: is longer", "has 1 of 2 entries"}},
		{"other-bytes", archived(t, "about.json", head, "entries.ndjson", lines, name, "bytez"), 2, 0, []string{"does not have the bytes", "0 of 1 photos"}},
		{"no-bytes", archived(t, "about.json", head, "entries.ndjson", lines, name, ""), 2, 0, []string{"does not have the bytes", "0 of 1 photos"}},
		{"odd-photo-name", archived(t, "about.json", head, "entries.ndjson", lines, "photos/../../x.jpg", "bytes", name, "bytes"), 2, 1, []string{"photos/../../x.jpg: is not named by"}},
		{"no-entries-member", archived(t, "about.json", head, name, "bytes"), 0, 1, []string{"has 0 of 2 entries"}},
		{"cut-in-the-entries", whole[:1024+512+40], 1, 0, []string{"saved.tar:2: entries.ndjson", "is cut short"}},
		{"cut-in-the-photo", whole[:1024+1024+512+2], 2, 0, []string{"is cut short"}},
		{"cut-between", whole[:1024+1024], 2, 0, []string{"0 of 1 photos"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			items, problems, err := read(t, c.file)
			if err != nil {
				t.Fatal(err)
			}
			entries, photos := 0, 0
			for _, item := range items {
				if item.Entry != nil {
					entries++
				} else {
					photos++
				}
			}
			if entries != c.entries || photos != c.photos {
				t.Errorf("got %d entries and %d photos, want %d and %d", entries, photos, c.entries, c.photos)
			}
			ok := len(problems) == len(c.want)
			for i := 0; ok && i < len(problems); i++ {
				ok = strings.Contains(problems[i].Error(), c.want[i]) && problems[i].Fix != ""
			}
			if !ok {
				t.Errorf("problems: got %v, want %q", problems, c.want)
			}
		})
	}
}

// FuzzRead: no bytes make the reader fail otherwise than with a problem, and every photo
// that it gives has the hash that it tells.
func FuzzRead(f *testing.F) {
	f.Add(written(f, entry("p", `{"v":1}`), entry("q", "x\x00\n"), photo("bytes")))
	f.Add(archived(f, "about.json", head, "entries.ndjson", "nonsense\n", "photos/x.jpg", "y"))
	f.Add(written(f)[:700])
	f.Fuzz(func(t *testing.T, file []byte) {
		items, problems, err := read(t, file)
		if err == nil && !Recognise(file) && len(file) >= 512 && string(file[257:262]) == "ustar" {
			t.Error("a file that is read is not recognised")
		}
		for _, item := range items {
			if item.Entry == nil && register.HashOf(item.Photo) != item.SHA {
				t.Errorf("a photo of %d bytes has not the hash %s", len(item.Photo), item.SHA)
			}
			if item.Entry != nil && item.Property == "" {
				t.Error("an entry is of no property")
			}
		}
		for _, p := range problems {
			if p.Reason == "" || p.File == "" {
				t.Errorf("the problem %+v says not what or where", p)
			}
		}
	})
}
