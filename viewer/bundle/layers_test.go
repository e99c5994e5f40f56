package main

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// shared are the layers that any page may use.
const shared = "base compute sensor section serviceworker storage sync survey map ui item device"

// layers are the folders of viewer/src, and of the officer's pages, each with those that it may
// import; a folder's own folders go with it, unless they have a row of their own.
var layers = []struct {
	folder, mayImport, why string
}{
	{"base", "", "base is what all pages, their workers and their tests know: it knows none of them"},
	{"compute", "base", "compute answers from what it is given: it reads no store, asks no server and draws nothing"},
	{"sensor", "base", "sensor says where the phone is and which way it points, whoever asks"},
	{"section", "base", "section draws what it is given: a landholder's page has no store and no level book"},
	{"serviceworker", "base compute", "the service worker keeps a page's files, whatever is in them"},
	{"storage", "base compute", "storage keeps what was recorded before anything is sent or shown"},
	{"sync", "base compute storage", "sync carries what storage keeps, and knows no survey and no screen"},
	{"survey", "base compute sensor section storage", "survey is the surveyor's reckoning: any page may use it, so it knows no screen"},
	{"map", "base compute sensor survey", "map draws features and knows neither store nor screen"},
	{"ui", "base compute sensor storage survey map", "ui is the controls of every page: it knows no page"},
	{"item", "base compute section storage survey map ui", "item is what is read of an item on any page: its figures, checks, fields and long section"},
	{"device", "base compute serviceworker storage sync ui", "device is what every page does as a device of the officer: it enrols, opens its store and speaks with the server, and knows no screen of any one page"},
	{"landholder", "base map section ui", "the landholder's page has no store, no receiver and no computations to load"},

	{"field/context", "base compute sensor storage sync serviceworker device", "what screens are given knows no screen"},
	{"field/part", shared + " field/context", "a part serves several screens and knows none of them"},
	{"field/shell", shared + " field", "the shell alone knows the screens, and opens them"},
	{"field", "field/shell field/part field/handover", "main.tsx starts the shell, or the page that saves what can be read"},

	{"desk/context", "base compute storage sync serviceworker device", "what screens are given knows no screen"},
	{"desk/shell", shared + " desk", "the shell alone knows the screens, and opens them"},
	{"desk", "desk/shell", "main.tsx starts the shell"},
}

// screens are the folders of the officer's pages that are not in layers, each a group of screens.
// The pages know nothing of each other: what both need stands in a layer.
const screenWhy = "a screen knows neither the router, nor another screen, nor another page: what several need stands in a layer below"

func screen(page string) (mayImport string) {
	mayImport = shared + " " + page + "/context"
	if page == "field" {
		mayImport += " field/part"
	}
	return mayImport
}

// libraries says which folders may import a library.
var libraries = []struct{ name, folders, why string }{
	{"ol", "map landholder", "the map's library is large: pages load it with the map alone"},
	{"idb", "storage", "the database has one owner"},
	{"preact", "compute/useasked.ts sensor/hooks.ts sensor/hooks.test.ts map section ui item device landholder field desk", "what draws nothing runs in workers and in tests without a page"},
	{"node", "*.test.ts", "pages do not run in node"},
}

// short are the files of fewer than 20 lines, and why each stands by itself.
var short = map[string]string{
	"base/uuid.ts":                  "UUIDs of RFC 9562, and nothing else",
	"field/context/dependencies.ts": "a list of what the page is put together from, that wiring.ts fills in",
	"field/shell/wiring.ts":         "fills that list in, and is left out of tests",
	"desk/main.tsx":                 "an entry point",
	"desk/shell/screens.ts":         "the table of screens, which grows with them",
	"field/form/fillin.tsx":         "a screen; what it shows is fill.tsx, which is shown after marking too",
	"compute/module.ts":             "an entry point, for pages that are not bundled",
	"field/main.tsx":                "an entry point",
	"field/shell/maps.ts":           "an entry point: the script of the screens with a map",
	"landholder/main.tsx":           "an entry point",
	"map/still.ts":                  "an agreement with the tests, which read it",
	"map/withinsight.ts":            "tested without the map's library",
	"storage/backupworker.ts":       "an entry point",
	"storage/index.ts":              "what the tests of the store are given of it",
	"workers.d.ts":                  "a declaration",
	"field/part/rescue.ts":          "main.tsx reads it before anything else is loaded",
	"storage/handover/tar.ts":       "a file format",
}

var imported = regexp.MustCompile(`(?m)(?:^(?:import|export)\b[^;"']*?from |^import |\bimport\()"([^"]+)"`)

// source is a script or a style of viewer/src with what it imports: files of viewer/src by their
// path in it, libraries by their first name.
type source struct {
	name             string
	files, libraries []string
	lines            int
}

func sources(t *testing.T) map[string]source {
	t.Helper()
	root := filepath.Join(viewerFolder, "src")
	all := map[string]source{}
	err := filepath.WalkDir(root, func(at string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(at, ".ts") && !strings.HasSuffix(at, ".tsx") {
			return err
		}
		text, err := os.ReadFile(at)
		if err != nil {
			return err
		}
		name, err := filepath.Rel(root, at)
		s := source{name: filepath.ToSlash(name), lines: strings.Count(string(text), "\n")}
		for _, found := range imported.FindAllStringSubmatch(string(text), -1) {
			spec := strings.TrimPrefix(found[1], workerScheme)
			if strings.HasPrefix(spec, ".") {
				s.files = append(s.files, path.Join(path.Dir(s.name), spec))
			} else {
				library, _, _ := strings.Cut(strings.ReplaceAll(spec, ":", "/"), "/")
				s.libraries = append(s.libraries, library)
			}
		}
		all[s.name] = s
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 250 {
		t.Fatalf("%d scripts below %s: the search is wrong", len(all), root)
	}
	return all
}

func (s source) isTest() bool { return strings.HasSuffix(s.name, ".test.ts") }

// under reports whether a file or folder is one of those listed, or below one.
func under(name, listed string) bool {
	return slices.ContainsFunc(strings.Fields(listed), func(folder string) bool {
		return folder == "*" || name == folder || strings.HasPrefix(name, folder+"/") || strings.HasPrefix(folder, "*.") && strings.HasSuffix(name, folder[1:])
	})
}

// mayImport is what the layer of a file may import, the layer itself first, and why no more.
func mayImport(t *testing.T, name string) (allowed, why string) {
	page, rest, _ := strings.Cut(name, "/")
	folder, _, deeper := strings.Cut(rest, "/")
	for _, at := range []string{page + "/" + folder, page} {
		for _, l := range layers {
			if l.folder == at && (at != page || !isOfficers(page) || !deeper) {
				return l.folder + " " + l.mayImport, l.why
			}
		}
	}
	if isOfficers(page) && deeper {
		return page + "/" + folder + " " + screen(page), screenWhy
	}
	if strings.HasSuffix(name, ".d.ts") {
		return "", "a declaration imports nothing"
	}
	t.Errorf("%s lies in no layer: put its folder into the table of layers", name)
	return "*", ""
}

// isOfficers tells whether a folder is a page with screens in folders of their own.
func isOfficers(page string) bool { return page == "field" || page == "desk" }

// TestLayers keeps the one direction in which the folders of viewer/src import each other.
func TestLayers(t *testing.T) {
	for _, s := range sources(t) {
		allowed, why := mayImport(t, s.name)
		for _, file := range s.files {
			if !s.isTest() && !under(file, allowed) {
				t.Errorf("%s imports %s: %s", s.name, file, why)
			}
		}
		for _, library := range s.libraries {
			for _, l := range libraries {
				if library == l.name && !under(s.name, l.folders) {
					t.Errorf("%s imports %s: %s", s.name, library, l.why)
				}
			}
		}
		if why := short[s.name]; s.lines < 20 && !s.isTest() && why == "" && !under(s.name, "compute/types") { // those are generated
			t.Errorf("%s has %d lines: put them where they are used, or say why they stand alone", s.name, s.lines)
		}
	}
}

// TestLayersAreDescribed: each layer has a README that says what it may import; those of the
// officer's pages say so of their folders.
func TestLayersAreDescribed(t *testing.T) {
	list := func(folders string) string {
		rest, any := strings.CutPrefix(folders, shared)
		words := strings.Fields(rest)
		if any {
			words = append([]string{"every layer"}, words...)
		}
		if len(words) == 0 {
			return "nothing"
		}
		return strings.Join(words, ", ")
	}
	holds := func(folder, want string) {
		t.Helper()
		text, err := os.ReadFile(filepath.Join(viewerFolder, "src", folder, "README.md"))
		if err != nil {
			t.Errorf("%s is not described: %v", folder, err)
		} else if !strings.Contains(string(text), want) {
			t.Errorf("the README of %s does not say %q", folder, strings.TrimSpace(want))
		}
	}
	for _, l := range layers {
		if page, folder, inside := strings.Cut(l.folder, "/"); inside {
			holds(page, " | "+list(l.mayImport)+" |\n")
			holds(page, "\n| "+folder+" | ")
		} else if !isOfficers(l.folder) {
			holds(l.folder, "\nImports: "+list(l.mayImport)+".\n")
			holds(".", "\n| ["+l.folder+"]("+l.folder+"/README.md) | ")
		} else {
			holds(l.folder, "\n| any other | ")
			holds(l.folder, " | "+list(screen(l.folder))+" |\n")
			holds(".", "\n| ["+l.folder+"]("+l.folder+"/README.md) | ")
		}
	}
}

// TestNoCircularImports follows imports from file to file and from folder to folder, types too.
func TestNoCircularImports(t *testing.T) {
	files, folders := map[string][]string{}, map[string][]string{}
	for _, s := range sources(t) {
		files[s.name] = s.files
		if s.isTest() {
			continue
		}
		for _, to := range s.files {
			if from, to := path.Dir(s.name), path.Dir(to); from != to && !isOfficers(from) {
				folders[from] = append(folders[from], to)
			}
		}
	}
	for _, graph := range []map[string][]string{files, folders} {
		if circle := circleIn(graph); circle != nil {
			t.Errorf("imports go round: %s", strings.Join(circle, " → "))
		}
	}
}

// circleIn is a way through a graph that ends where it began, nil where there is none.
func circleIn(graph map[string][]string) []string {
	done := map[string]bool{}
	var way []string
	var follow func(at string) []string
	follow = func(at string) []string {
		if i := slices.Index(way, at); i >= 0 {
			return append(slices.Clone(way[i:]), at)
		}
		if done[at] {
			return nil
		}
		way = append(way, at)
		for _, next := range graph[at] {
			if circle := follow(next); circle != nil {
				return circle
			}
		}
		way = way[:len(way)-1]
		done[at] = true
		return nil
	}
	for at := range graph {
		if circle := follow(at); circle != nil {
			return circle
		}
	}
	return nil
}

// TestFoldersServeSeveral finds folders that only one file uses, which could stand beside it. A
// screen's folder is opened by the router alone.
func TestFoldersServeSeveral(t *testing.T) {
	users := map[string]map[string]bool{}
	all := sources(t)
	for _, s := range all {
		if folder := path.Dir(s.name); users[folder] == nil {
			users[folder] = map[string]bool{}
		}
		for _, file := range s.files {
			if folder := path.Dir(file); folder != path.Dir(s.name) && !s.isTest() {
				if users[folder] == nil {
					users[folder] = map[string]bool{}
				}
				users[folder][s.name] = true
			}
		}
	}
	for folder, of := range users {
		if folder == "." || isOfficers(folder) || folder == "landholder" {
			continue
		}
		_, why := mayImport(t, folder+"/x.ts")
		if why != screenWhy && path.Base(folder) != "shell" && len(of) < 2 {
			t.Errorf("%s is used by %d files only: put it beside what uses it", folder, len(of))
		}
	}
}

func TestCircleIn(t *testing.T) {
	for _, c := range []struct {
		name  string
		graph map[string][]string
		want  bool
	}{
		{"none", map[string][]string{"a": {"b", "c"}, "b": {"c"}}, false},
		{"two", map[string][]string{"a": {"b"}, "b": {"a"}}, true},
		{"itself", map[string][]string{"a": {"a"}}, true},
		{"behind others", map[string][]string{"a": {"b"}, "b": {"c", "d"}, "d": {"b"}}, true},
	} {
		if got := circleIn(c.graph) != nil; got != c.want {
			t.Errorf("%s: circle %v, want %v", c.name, got, c.want)
		}
	}
}
