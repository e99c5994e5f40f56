package server

import (
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// askedOfSections is how many requirements of levels 1 and 2 each section of the ASVS 5.0.0 has. In every
// section they are the first ones, and those of level 3 follow.
const askedOfSections = `1.1:2 1.2:9 1.3:11 1.4:3 1.5:2 2.1:3 2.2:3 2.3:4 2.4:1 3.2:2 3.3:4 3.4:6 3.5:5 3.7:2
	4.1:3 4.2:1 4.3:2 4.4:4 5.1:1 5.2:3 5.3:2 5.4:3 6.1:3 6.2:12 6.3:4 6.4:4 6.5:5 6.6:3 6.8:4
	7.1:3 7.2:4 7.3:2 7.4:5 7.5:2 7.6:2 8.1:2 8.2:3 8.3:1 8.4:1 9.1:3 9.2:4
	10.1:2 10.2:2 10.3:4 10.4:11 10.5:5 10.6:2 10.7:3 11.1:2 11.2:3 11.3:3 11.4:4 11.5:1 11.6:1
	12.1:3 12.2:2 12.3:4 13.1:1 13.2:5 13.3:2 13.4:5 14.1:2 14.2:4 14.3:3 15.1:3 15.2:3 15.3:7
	16.1:1 16.2:5 16.3:4 16.4:3 16.5:3 17.1:1 17.2:4 17.3:2`

func asvsNumbers(t *testing.T) []string {
	var all []string
	for _, section := range strings.Fields(askedOfSections) {
		name, count, _ := strings.Cut(section, ":")
		n, err := strconv.Atoi(count)
		if err != nil {
			t.Fatal(err)
		}
		for i := range n {
			all = append(all, name+"."+strconv.Itoa(i+1))
		}
	}
	if len(all) != 253 {
		t.Fatalf("%d requirements are looked for, and the standard has 253", len(all))
	}
	return all
}

var asvsRow = regexp.MustCompile(`(?m)^\| ([0-9][0-9., to]*) \| ([^|]+) \| (met|NOT MET|n/a) \|([^|]*)\|([^|]*)\|$`)

// The table has each requirement once and in order, says of each whether it is met, and lists at
// its top all that is not met. TestDocumentsNameWhatIsThere looks for what it names.
func TestASVSTableIsWhole(t *testing.T) {
	raw, err := os.ReadFile("asvs.md")
	if err != nil {
		t.Fatal(err)
	}
	table := string(raw)
	all := asvsNumbers(t)
	next := 0
	notMet := map[string]bool{}
	rows := asvsRow.FindAllStringSubmatch(table, -1)
	for _, row := range rows {
		numbers, state := row[1], row[3]
		for part := range strings.SplitSeq(numbers, ", ") {
			first, last, isRange := strings.Cut(part, " to ")
			if !isRange {
				last = first
			}
			from, to := slices.Index(all, first), slices.Index(all, last)
			if from != next || to < from {
				t.Fatalf("the row %q stands where %s should, or is no requirement", part, all[min(next, len(all)-1)])
			}
			next = to + 1
			if state == "NOT MET" {
				notMet[first] = true
			}
		}
		if strings.TrimSpace(row[4]) == "" && strings.TrimSpace(row[5]) == "" {
			t.Errorf("%s says neither how nor why", numbers)
		}
		if state == "met" && !strings.Contains(row[5], "`") {
			t.Errorf("%s is met, and names no test", numbers)
		}
	}
	if next != len(all) {
		t.Errorf("the table ends before %s", all[next])
	}
	if lines := regexp.MustCompile(`(?m)^\| [0-9]`).FindAllString(table, -1); len(lines) != len(rows) {
		t.Errorf("%d rows begin with a number and %d can be read", len(lines), len(rows))
	}
	_, top, _ := strings.Cut(table, "\n## Not met\n")
	top, _, _ = strings.Cut(top, "\n## ")
	listed := map[string]bool{}
	for _, number := range regexp.MustCompile(`\b[0-9]+\.[0-9]+\.[0-9]+\b`).FindAllString(top, -1) {
		listed[number] = true
	}
	if !maps.Equal(listed, notMet) {
		t.Errorf("listed as not met: %v\nnot met in the tables: %v", slices.Sorted(maps.Keys(listed)), slices.Sorted(maps.Keys(notMet)))
	}
	tests := regexp.MustCompile("`([a-z0-9/_]+_test\\.go): ((?:Test|Fuzz)\\w+)`").FindAllStringSubmatch(table, -1)
	if len(tests) < 150 {
		t.Errorf("only %d tests were found in the table", len(tests))
	}
}

// neverImported are packages that the program has no use for: they start other programs, go
// round the types, make pages of templates, or are weak.
var neverImported = []string{"os/exec", "unsafe", "plugin", "text/template", "html/template", "encoding/gob", "net/rpc", "net/smtp", "net/http/pprof", "expvar",
	"crypto/md5", "crypto/sha1", "crypto/des", "crypto/rc4", "math/rand", "math/rand/v2"}

// mayBeRandom are folders that draw numbers that no secret rests on: the demo's pictures and the
// trials of a store.
var mayBeRandom = []string{"headcut/server/demo", "headcut/sync/store/storetest"}

// callsOut is what a file has that connects to somebody, or that makes a regular expression of
// anything but a constant.
var callsOut = regexp.MustCompile(`http\.((Get|Post|Head|PostForm)\(|DefaultClient|Client\{|Transport\{)|\.?Dial(Context|er)?\b[({]|regexp\.(Must)?Compile\([^` + "`" + `"]`)

// mayCall are files that do, each with whom: the office's commands their own socket, the demo
// its own server, and a device in Go, which is no part of the server, the server, on a line for tests.
var mayCall = []string{"headcut/datadir.go", "headcut/officesocket.go", "headcut/demo.go", "device/enrol.go", "device/conversation.go", "badline/line.go", "photo/client.go"}

func TestServerStartsAndCallsNobody(t *testing.T) {
	files, calling := 0, 0
	for _, p := range packages(t, "headcut/server/...", "headcut/sync/...", "headcut/export/...", "headcut/model/...", "headcut/viewer") {
		for _, never := range neverImported {
			if slices.Contains(p.Imports, never) && !(strings.HasPrefix(never, "math/rand") && slices.Contains(mayBeRandom, p.ImportPath)) {
				t.Errorf("%s imports %s", p.ImportPath, never)
			}
		}
		for _, name := range p.GoFiles {
			text, err := os.ReadFile(filepath.Join(p.Dir, name))
			if err != nil {
				t.Fatal(err)
			}
			files++
			call := callsOut.Find(text)
			switch {
			case call == nil:
			case slices.Contains(mayCall, filepath.Base(p.Dir)+"/"+name):
				calling++
			default:
				t.Errorf("%s/%s has %s: the server calls nobody", p.ImportPath, name, call)
			}
		}
	}
	if files < 300 || calling != len(mayCall) {
		t.Errorf("%d files were looked at, %d of %d call somebody", files, calling, len(mayCall))
	}
}

// Secrets differ each time and are as long as they are said to be: 5 bits a letter.
func TestSecretsAreLong(t *testing.T) {
	for _, kind := range []struct {
		name    string
		make    func() string
		letters int
	}{
		{"the secret of a phone or link", newToken, 160 / 5},
		{"a code", func() string { return heard(newCode()) }, 50 / 5},
	} {
		seen := map[string]bool{}
		places := make([]map[byte]bool, kind.letters)
		for range 2000 {
			secret := kind.make()
			if len(secret) != kind.letters || seen[secret] {
				t.Fatalf("%s: %q has not %d letters, or came twice", kind.name, secret, kind.letters)
			}
			seen[secret] = true
			for i := range places {
				if places[i] == nil {
					places[i] = map[byte]bool{}
				}
				places[i][secret[i]] = true
			}
		}
		for i, letters := range places { // that one of 32 is missing after 2,000: 1 in 10^26
			if len(letters) != 32 {
				t.Errorf("%s: letter %d is one of %d, want 32", kind.name, i, len(letters))
			}
		}
	}
	if ownToken.MatchString(strings.Repeat("a", 31)) {
		t.Error("a phone may choose a secret of 31 letters")
	}
}
