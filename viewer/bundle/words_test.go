package main

import (
	"io/fs"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// One word for one thing: what no page, sheet, file, command or refusal says, and what is
// said instead. Names in code are not looked at, only what people read or hear.
var notSaid = []struct{ pattern, say string }{
	{`\bthings?\b`, "item, or its kind"},
	{`\banew\b`, "again"},
	{`\b(put|puts) back\b`, "restore"},
	{`\b(take|takes|taken|took) (it )?(back|out)\b`, "undo, or remove"},
	{`\bgo(es)? on( with|:|\.|$)|\b(walk|count) on\b`, "continue"},
	{`\bgive or take\b|\bplus or minus\b|\bplus-minus\b`, "±"},
	{`\b(how it stands|it stands)\b`, "Sync status"},
	{`\ball the same\b|\bwhatever\b`, "plain words"},
	{`\bnot (yet )?on the server\b|\bnot on it\b|\bunsent\b`, "not sent yet"},
	{`\bcaptures?\b`, "entry"},
	{`\bnot said\b`, "still to fill in, or not recorded"},
	{`\bno name\b|\bwithout a name\b|\bnameless\b`, "unnamed"},
	{`\bprograms?\b`, "app"},
	{`brought to size|bring.* to size`, "resized"},
	{`\bits bytes\b`, "the photo"},
	{`\bmetres up\b|\bfrom its foot\b|how far up the gully`, "chainage"},
	{`\bway round\b`, "perimeter"},
	{`\bsills?\b|notch bottom`, "notch"},
	{`\bmelts?\b`, "slump and wash away"},
	{`\bholds\b|\bholding\b|\bdoes not hold\b`, "OK; of a work: sound"},
	{`\bproves?\b|\bnot proven\b`, "checked by a closed level run"},
	{`told from none|could not be told|cannot be told`, "too small to detect; cannot be calculated"},
	{`\bthe measuring itself\b`, "measurement error"},
	{`\brub out\b`, "delete"},
	{`\bcorrected\b|\bcorrect(ion)? it\b`, "edit"},
	{`\blook that\b`, "check that"},
	{`\bby whose word\b|\bhangs on\b|\bstands beside\b|\bis not told\b`, "whose rule; depends on it; cannot be given with"},
	{`too rough`, "GPS is too poor"},
	{`\bworked out\b|\bwork(s)? out\b|\bworking it out\b`, "calculated"},
	{`\bout of sight\b`, "hidden"},
	{`\bhas run out\b`, "expired"},
	{`\bnot seen since\b`, "not visited since"},
	{`\bgoes to the register\b`, "is saved"},
	{`\brun for one of rise\b`, "1 in 3"},
	{`\bsown ground\b|\bexclosure\b`, "sown area, fenced-off area"},
	{`\d(st|nd|rd|th)\b|^th `, "1 in 3"},
	{`\b(mind:|what to mind)`, "danger, or what to watch for"},
	{`what can hurt|\bseen on\b`, "danger, date recorded"},
	{`what is drawn|how far they have come|one by one`, "map key, stage, list of"},
	{`fetch(ed)? again`, "refresh"},
	{`as recorded on`, "last entry, last visit"},
	{`save as (kml|geojson)`, "download for map apps"},
	{`highest in between|leaves by both ends`, "high in the middle"},
	{`apart at most|falls up to|allowed for each`, "maximum spacing, grade up to, allowable"},
	{`\bis answered\b|takes to answer`, "is calculated, time of concentration"},
	{`known after all`, "clear known level"},
	{`\btold\b|\bvouch|\bwhose word\b`, "say, give, or name the rule"},
}

var repository = filepath.Join(viewerFolder, "..")

// allowed are the phrases that may be said there, each in one folder and with its reason.
var allowed = []struct{ in, phrase, reason string }{
	{"model", "exclosure", "the kind's name, which files and entries keep; its label is Fenced-off area"},
	{"server/demo", "exclosure", "the kind's name"},
	{"model/kinds.go", "Sown ground", "an older label, under which files still name the kind"},
	{"model/kinds.go", "Exclosure", "an older label, under which files still name the kind"},
	{"model/kinds.go", "holding", "an older condition, which entries keep and which is read as sound"},
	{"model/problemwords.go", "holds", "a verb that a refusal may begin with"},
	{"server/headcut/compute.go", "Without a NAME", "no name that is missing, but a word of the command line"},
	{"viewer/src/serviceworker", "fetch again", "what a page asks its worker, in versions that still run"},
}

// saidThere are the texts people read, by the file they stand in.
type saidThere func(t *testing.T, path string) []string

// readers are the folders whose texts people read, by how these are found in a file.
var readers = []struct {
	folder, ending string
	texts          saidThere
	atLeast        int // fewer found: the scan does not see them
}{
	{"viewer/src", ".ts", saidIn, 500},
	{"viewer/src", ".tsx", saidIn, 700},
	{"viewer/src", ".html", wholeText, 2},
	{"model", ".go", saidInGo, 1500},
	{"sync", ".go", saidInGo, 300},
	{"export", ".go", saidInGo, 30},
	{"server", ".go", saidInGo, 400},
	{"README.md", "", wholeText, 1},
}

// TestOneWordForOneThing looks through every text that people read.
func TestOneWordForOneThing(t *testing.T) {
	banned := make([]*regexp.Regexp, len(notSaid))
	for i, n := range notSaid {
		banned[i] = regexp.MustCompile(`(?i)` + n.pattern)
	}
	used := make([]bool, len(allowed))
	for _, r := range readers {
		said := 0
		err := filepath.WalkDir(filepath.Join(repository, filepath.FromSlash(r.folder)), func(path string, d fs.DirEntry, err error) error {
			name := d.Name()
			if d.IsDir() && (name == "testdata" || name == "modeltest" || name == "storetest") {
				return filepath.SkipDir
			}
			if err != nil || d.IsDir() || filepath.Ext(name) != r.ending && r.ending != "" || strings.HasSuffix(name, ".test.ts") || strings.HasSuffix(name, "_test.go") {
				return err
			}
			at, err := filepath.Rel(repository, path)
			if err != nil {
				return err
			}
			at = filepath.ToSlash(at)
			for _, text := range r.texts(t, path) {
				said++
				rest := text
				for i, a := range allowed {
					if strings.HasPrefix(at, a.in) && strings.Contains(rest, a.phrase) {
						used[i], rest = true, strings.ReplaceAll(rest, a.phrase, "")
					}
				}
				for i, b := range banned {
					if found := b.FindString(rest); found != "" {
						t.Errorf("%s says %q in %q: say %q", at, found, text, notSaid[i].say)
					}
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if said < r.atLeast {
			t.Errorf("found only %d texts in %s*%s: the scan does not see them", said, r.folder, r.ending)
		}
	}
	for i, a := range allowed {
		if !used[i] {
			t.Errorf("nothing in %s says %q any more: take it off the list of what is allowed", a.in, a.phrase)
		}
	}
}
