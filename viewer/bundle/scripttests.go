package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// testScripts runs the tests that lie beside the pages' scripts, src/**/*.test.ts, in Node's
// own test runner, and returns what it said. They are bundled first, so that any Node from 20
// on can run them; all in one script and by one process, which takes seconds where one for each
// took minutes. An error names the tests that failed; with none, only how many there were is said.
func testScripts(root string) (said string, err error) {
	root, err = filepath.Abs(root)
	if err != nil {
		return "", err
	}
	src := filepath.Join(root, "src")
	var imports strings.Builder
	tests := 0
	err = filepath.WalkDir(src, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".test.ts") {
			return err
		}
		name, err := filepath.Rel(src, path)
		imports.WriteString("import \"./" + filepath.ToSlash(name) + "\";\n")
		tests++
		return err
	})
	if err != nil {
		return "", err
	}
	if tests < 40 {
		return "", fmt.Errorf("%d files *.test.ts below %s: the search is wrong", tests, src)
	}
	dir, err := os.MkdirTemp("", "scripttests")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(dir)
	all := filepath.Join(dir, "all.mjs")
	result := api.Build(api.BuildOptions{
		Stdin:     &api.StdinOptions{Contents: imports.String(), ResolveDir: src, Loader: api.LoaderTS},
		Outfile:   all,
		Bundle:    true,
		Format:    api.FormatESModule,
		Target:    api.ES2022,
		Platform:  api.PlatformNode,
		Sourcemap: api.SourceMapInline,
		Write:     true,
		LogLevel:  api.LogLevelSilent,
		Plugins:   []api.Plugin{workers(root, "/assets/", "test", files{})}, // tests run them in the page's place
	})
	if len(result.Errors) > 0 {
		return "", failure(result)
	}
	command := exec.Command("node", "--enable-source-maps", "--no-warnings", "--test-reporter=tap", all)
	command.Dir = filepath.Dir(root) // tests read testdata/ as the Go ones do
	command.Env = append(os.Environ(), "NODE_OPTIONS=")
	output, err := command.CombinedOutput()
	count := 0
	var failed []string
	for line := range strings.Lines(string(output)) {
		if strings.HasPrefix(line, "ok ") {
			count++
		} else if what, found := strings.CutPrefix(line, "not ok "); found {
			failed = append(failed, "not ok: "+strings.TrimSpace(what))
		}
	}
	switch {
	case len(failed) > 0:
		err = errors.New(strings.Join(failed, "\n"))
	case err == nil && count < tests:
		err = fmt.Errorf("node ran %d tests of %d files", count, tests)
	case err == nil:
		return fmt.Sprintf("ok: %d tests of %d files\n", count, tests), nil
	}
	return string(output), err
}
