package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/evanw/esbuild/pkg/api"
)

// testScripts runs the tests that lie beside the pages' scripts, src/**/*.test.ts, in Node's
// own test runner, and returns what it said: the pure ones, or those with a whole phone's store or
// page, which take most of the time. They are bundled first, so that any Node from 20 on can run them, into
// few scripts that run side by side: a process for each file would take minutes where these take
// seconds. An error names the tests that failed; with none, only how many there were is said. With
// parts of paths, the files that have one of them are run, of whichever kind, and what they
// say is shown as they say it.
func testScripts(root string, whole bool, only ...string) (said string, err error) {
	root, err = filepath.Abs(root)
	if err != nil {
		return "", err
	}
	tests, err := scriptTests(filepath.Join(root, "src"), only)
	if err != nil {
		return "", err
	}
	runs := []*testRun{}
	if whole || len(only) > 0 {
		runs = append(runs, &testRun{name: "pages", files: tests.pages}, &testRun{name: "phones", files: tests.phones})
	}
	if !whole || len(only) > 0 {
		halves, err := halved(filepath.Join(root, "src"), tests.pure)
		if err != nil {
			return "", err
		}
		runs = append(runs, halves...)
	}
	runs = slices.DeleteFunc(runs, func(r *testRun) bool { return len(r.files) == 0 })
	if len(only) > 0 {
		return runTests(root, runs, true, os.Stdout)
	}
	said, err = runTests(root, runs, false, io.Discard)
	if err == nil {
		return said, nil
	}
	// Node takes a tenth longer when it is to know the lines of the sources: only once they are wanted.
	again, failed := runTests(root, runs, true, io.Discard)
	if failed == nil {
		return said, fmt.Errorf("once, and not when they ran again: %w", err)
	}
	return again, failed
}

// halved shares files below src out to two scripts that take about as long: the largest first, each
// to the one with less in it. By turns, chance put two thirds of the time into one of them.
func halved(src string, files []string) ([]*testRun, error) {
	size := map[string]int64{}
	for _, file := range files {
		info, err := os.Stat(filepath.Join(src, file))
		if err != nil {
			return nil, err
		}
		size[file] = info.Size()
	}
	files = slices.SortedStableFunc(slices.Values(files), func(a, b string) int { return cmp.Compare(size[b], size[a]) })
	less, more := &testRun{name: "one"}, &testRun{name: "other"}
	lead := int64(0)
	for _, file := range files {
		less.files, lead = append(less.files, file), lead-size[file]
		if lead < 0 {
			less, more, lead = more, less, -lead
		}
	}
	return []*testRun{less, more}, nil
}

// runTests runs scripts of tests side by side. With lines, what they say of failures names lines of
// the sources. What they say is shown while they run.
func runTests(root string, runs []*testRun, lines bool, shown io.Writer) (said string, err error) {
	dir, err := os.MkdirTemp("", "scripttests")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(dir)
	if err := bundleTests(root, dir, runs, lines); err != nil {
		return "", err
	}
	var all sync.WaitGroup
	for _, r := range runs {
		all.Go(func() { r.err = r.run(root, dir, lines, shown) })
	}
	all.Wait()
	tests, files := 0, 0
	for _, r := range runs {
		if shown == io.Discard {
			said += r.said
		}
		tests, files = tests+r.count, files+len(r.files)
		err = errors.Join(err, r.err)
	}
	if err == nil {
		said = fmt.Sprintf("ok: %d tests of %d files\n", tests, files)
	}
	return said, err
}

// scriptFiles are files of tests below src, as its scripts would import them.
type scriptFiles struct{ pure, phones, pages []string }

// What tests of a whole page, or of a phone's store and its server, are made with.
var ofPages, ofPhones = regexp.MustCompile(`/page\.test\.ts"`), regexp.MustCompile(`/(phone|server)\.test\.ts"`)

func scriptTests(src string, only []string) (scriptFiles, error) {
	var tests scriptFiles
	err := filepath.WalkDir(src, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".test.ts") {
			return err
		}
		if len(only) > 0 && !slices.ContainsFunc(only, func(part string) bool { return strings.Contains(path, part) }) {
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		name, err := filepath.Rel(src, path)
		name = "./" + filepath.ToSlash(name)
		kind := &tests.pure
		switch made := string(text) + name + `"`; {
		case ofPages.MatchString(made):
			kind = &tests.pages
		case ofPhones.MatchString(made):
			kind = &tests.phones
		}
		*kind = append(*kind, name)
		return err
	})
	if found := len(tests.pure) + len(tests.phones) + len(tests.pages); err == nil && (found == 0 || found < 40 && len(only) == 0) {
		err = fmt.Errorf("%d files *.test.ts below %s: the search is wrong", found, src)
	}
	return tests, err
}

// testRun is one script of tests, and what came of it.
type testRun struct {
	name  string
	files []string
	count int // of the tests that passed
	said  string
	err   error
}

// bundleTests writes the scripts into dir, all of them at once: most of what they import they share.
func bundleTests(root, dir string, runs []*testRun, lines bool) error {
	maps := api.SourceMapNone
	if lines {
		maps = api.SourceMapInline
	}
	options := api.BuildOptions{
		Outdir:         dir,
		OutExtension:   map[string]string{".js": ".mjs"},
		Bundle:         true,
		Format:         api.FormatESModule,
		Target:         api.ES2022,
		Platform:       api.PlatformNode,
		Sourcemap:      maps,
		SourcesContent: api.SourcesContentExclude, // two thirds of the script otherwise, which Node reads each time
		Write:          true,
		LogLevel:       api.LogLevelSilent,
		// The document that pages are drawn in has libraries of the older kind, which ask for Node's own parts.
		Banner:  map[string]string{"js": `import { createRequire } from "node:module"; const require = createRequire(import.meta.url);`},
		Plugins: []api.Plugin{workers(root, "/assets/", "test", files{})}, // tests run them in the page's place
	}
	for _, r := range runs {
		var imports strings.Builder
		for _, file := range r.files {
			fmt.Fprintf(&imports, "import %q;\n", filepath.Join(root, "src", file))
		}
		entry := filepath.Join(dir, r.name+".ts")
		if err := os.WriteFile(entry, []byte(imports.String()), 0o644); err != nil {
			return err
		}
		options.EntryPoints = append(options.EntryPoints, entry)
	}
	if result := api.Build(options); len(result.Errors) > 0 {
		return failure(result)
	}
	return nil
}

func (r *testRun) run(root, dir string, lines bool, shown io.Writer) error {
	command := exec.Command("node", "--max-semi-space-size=64", "--no-warnings", "--test-reporter=tap")
	if lines {
		command.Args = append(command.Args, "--enable-source-maps")
	}
	command.Args = append(command.Args, filepath.Join(dir, r.name+".mjs"))
	command.Dir = filepath.Dir(root) // tests read testdata/ as the Go ones do
	command.Env = append(os.Environ(), "NODE_OPTIONS=")
	var output bytes.Buffer
	command.Stdout = io.MultiWriter(&output, shown)
	command.Stderr = command.Stdout
	err := command.Run()
	r.said, r.count = output.String(), 0
	var failed []string
	for line := range strings.Lines(r.said) {
		if strings.HasPrefix(line, "ok ") {
			r.count++
		} else if what, found := strings.CutPrefix(line, "not ok "); found {
			failed = append(failed, "not ok: "+strings.TrimSpace(what))
		}
	}
	switch {
	case len(failed) > 0:
		return errors.New(strings.Join(failed, "\n"))
	case err == nil && r.count == 0:
		return fmt.Errorf("node ran no tests of %d files", len(r.files))
	}
	return err
}
