package main

import (
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// browsers are the packages of browser tests that use what a folder or file below viewer/src holds,
// the likeliest first. The longest beginning counts.
var browsers = []struct{ below, packages string }{
	{"", "fieldtest/day fieldtest/book"},
	{"base/", "fieldtest/day fieldtest/book fieldtest/map desktest"},
	{"compute/", "fieldtest/offline fieldtest/book"},
	{"desk/", "desktest"},
	{"device/", "fieldtest/offline desktest"},
	{"field/enrol/", "fieldtest/offline"},
	{"field/handover/", "fieldtest/offline"},
	{"field/levelbook/", "fieldtest/book"},
	{"field/line/", "fieldtest/map"},
	{"field/map/", "fieldtest/map"},
	{"field/part/", "fieldtest/visit fieldtest/day fieldtest/book"},
	{"field/photo/", "fieldtest/visit"},
	{"field/setout/", "fieldtest/book"},
	{"field/status/", "fieldtest/offline fieldtest/day"},
	{"field/visit/", "fieldtest/visit"},
	{"item/", "desktest fieldtest/book fieldtest/day"},
	{"landholder/", "test"},
	{"map/", "fieldtest/map test desktest"},
	{"section/", "test fieldtest/book"},
	{"sensor/", "fieldtest/map fieldtest/day fieldtest/visit"},
	{"serviceworker/", "fieldtest/offline"},
	{"storage/", "fieldtest/storage fieldtest/node fieldtest/sync"},
	{"survey/levelbook/", "fieldtest/book"},
	{"survey/line/", "fieldtest/map"},
	{"survey/photo/", "fieldtest/visit"},
	{"survey/setout/", "fieldtest/book"},
	{"survey/visit/", "fieldtest/visit"},
	{"sync/", "fieldtest/sync fieldtest/node"},
}

// tryScript says whether a changed script compiles, and which test notices the change.
func tryScript(tree, file string, browser bool) (compiles bool, noticed string) {
	viewer := filepath.Join(tree, "viewer")
	if run(viewer, "npx", "--no-install", "tsc", "--noEmit", "--incremental", "--tsBuildInfoFile", filepath.Join(tree, "types.info")) != nil {
		return false, ""
	}
	bundler := filepath.Join(viewer, "bundle/bundler") // of the tree as it was
	if _, err := os.Stat(bundler); err != nil {
		check(run(filepath.Dir(bundler), "go", "build", "-o", bundler, "."))
	}
	src := filepath.Join(viewer, "src")
	name, err := filepath.Rel(src, filepath.Join(tree, file))
	check(err)
	name = filepath.ToSlash(name)
	var beside []string // they notice most, and take a fraction of the time of all
	all := importing(src, name)
	for _, t := range all {
		if path.Dir(t) == path.Join("src", path.Dir(name)) {
			beside = append(beside, t)
		}
	}
	for _, tests := range [][]string{beside, all} {
		if len(tests) == 0 {
			continue
		}
		// What goes round in circles is ended by its processor time: a busy machine is no failure.
		limited := append([]string{"-c", `ulimit -t 60; exec "$0" "$@"`, bundler, "-tests"}, tests...)
		if noticed = failing(filepath.Dir(bundler), "sh", limited...); noticed != "" {
			return true, noticed
		}
	}
	if !browser {
		return true, ""
	}
	// The pages are built here once for all packages, and the computations, which no script changes, for all changes.
	made := filepath.Join(viewer, "wasm/built")
	if _, err := os.Stat(made); err != nil {
		check(run(filepath.Dir(bundler), bundler, "-unpacked", "-computations", made))
	}
	check(run(filepath.Dir(bundler), bundler))
	check(os.Setenv("HEADCUT_BUILT", "1"))
	defer func() {
		check(os.Unsetenv("HEADCUT_BUILT"))
		check(run(tree, "git", "checkout", "-q", "--", "viewer/dist"))
		check(run(tree, "git", "clean", "-fdq", "viewer/dist"))
	}()
	uses := browsers[0]
	for _, row := range browsers {
		if strings.HasPrefix(name, row.below) && len(row.below) > len(uses.below) {
			uses = row
		}
	}
	for _, folder := range strings.Fields(uses.packages) {
		if noticed = test(tree, "./viewer/"+folder); noticed != "" && failsByChange(tree, file, bundler, folder, noticed) {
			return true, folder + " " + noticed
		}
	}
	return true, ""
}

// failsByChange says whether a browser test that failed on a change fails on it again by itself, and
// not on the sources as they were: on a busy machine tests fail that have nothing to do with it.
func failsByChange(tree, file, bundler, folder, name string) bool {
	name, _, _ = strings.Cut(name, "/")
	if !strings.HasPrefix(name, "Test") {
		return true
	}
	alone := func() bool { return test(tree, "-run", "^"+name+"$", "./viewer/"+folder) != "" }
	if !alone() {
		return false
	}
	changed := filepath.Join(tree, file)
	text, err := os.ReadFile(changed)
	check(err)
	check(run(tree, "git", "checkout", "-q", "--", file))
	check(run(filepath.Dir(bundler), bundler))
	defer func() {
		check(os.WriteFile(changed, text, 0o600))
		check(run(filepath.Dir(bundler), bundler))
	}()
	return !alone()
}

var imported = regexp.MustCompile(`(?:from|import|import\() ?"(?:worker:)?(\.[^"]+)"`)

// importing are the tests that import a file of src, directly or not.
func importing(src, name string) (tests []string) {
	importers := map[string][]string{}
	check(filepath.WalkDir(src, func(file string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(file)
		check(err)
		own, err := filepath.Rel(src, file)
		check(err)
		own = filepath.ToSlash(own)
		for _, found := range imported.FindAllStringSubmatch(string(text), -1) {
			of := path.Join(path.Dir(own), found[1])
			importers[of] = append(importers[of], own)
		}
		return nil
	}))
	seen := []string{name}
	for i := 0; i < len(seen); i++ {
		for _, by := range importers[seen[i]] {
			if !slices.Contains(seen, by) {
				seen = append(seen, by)
			}
		}
	}
	for _, file := range seen { // the nearest first
		if strings.HasSuffix(file, ".test.ts") {
			tests = append(tests, "src/"+file)
		}
	}
	return tests
}
