package main

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/evanw/esbuild/pkg/api"
)

// TestScripts runs the tests that lie beside the pages' scripts, src/**/*.test.ts, in node's
// own test runner. They are bundled first, so that any node from 20 on can run them; all in one
// script and by one process, which takes seconds where one for each took minutes.
func TestScripts(t *testing.T) {
	needLibraries(t)
	node, err := exec.LookPath("node")
	if err != nil {
		t.Fatal("node is not installed: run make test, which installs it")
	}
	src, err := filepath.Abs(filepath.Join(viewerFolder, "src"))
	if err != nil {
		t.Fatal(err)
	}
	var imports strings.Builder
	files := 0
	err = filepath.WalkDir(src, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".test.ts") {
			return err
		}
		name, err := filepath.Rel(src, path)
		imports.WriteString("import \"./" + filepath.ToSlash(name) + "\";\n")
		files++
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 40 {
		t.Fatalf("%d files *.test.ts below %s: the search is wrong", files, src)
	}
	all := filepath.Join(t.TempDir(), "all.mjs")
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
	})
	if len(result.Errors) > 0 {
		t.Fatal(strings.Join(api.FormatMessages(result.Errors, api.FormatMessagesOptions{Kind: api.ErrorMessage}), "\n"))
	}
	command := exec.Command(node, "--enable-source-maps", "--test-reporter=tap", all)
	command.Dir = filepath.Join(viewerFolder, "..") // tests read testdata/ as the Go ones do
	command.Env = append(os.Environ(), "NODE_OPTIONS=")
	said, err := command.CombinedOutput()
	for _, line := range strings.Split(string(said), "\n") {
		if what, found := strings.CutPrefix(line, "not ok "); found {
			t.Errorf("not ok: %s", what)
		}
	}
	if err != nil || t.Failed() {
		t.Errorf("%v\n%s", err, said)
	}
	if count := strings.Count(string(said), "\nok "); count < files {
		t.Errorf("node ran %d tests of %d files\n%s", count, files, said)
	}
}
