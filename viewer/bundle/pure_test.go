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
// own test runner. They are bundled first, so that any node from 20 on can run them.
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
	found := 0
	err = filepath.WalkDir(src, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".test.ts") {
			return err
		}
		found++
		name, err := filepath.Rel(src, path)
		if err != nil {
			return err
		}
		t.Run(strings.NewReplacer("/", "-", ".test.ts", "").Replace(filepath.ToSlash(name)), func(t *testing.T) {
			runInNode(t, node, path)
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if found == 0 {
		t.Errorf("no *.test.ts below %s: the search is wrong", src)
	}
}

func runInNode(t *testing.T, node, path string) {
	file := filepath.Join(t.TempDir(), "test.mjs")
	result := api.Build(api.BuildOptions{
		EntryPoints: []string{path},
		Outfile:     file,
		Bundle:      true,
		Format:      api.FormatESModule,
		Target:      api.ES2022,
		Platform:    api.PlatformNode,
		Sourcemap:   api.SourceMapInline,
		Write:       true,
		LogLevel:    api.LogLevelSilent,
	})
	if len(result.Errors) > 0 {
		t.Fatal(strings.Join(api.FormatMessages(result.Errors, api.FormatMessagesOptions{Kind: api.ErrorMessage}), "\n"))
	}
	run := exec.Command(node, "--enable-source-maps", "--test", file)
	run.Dir = filepath.Join(viewerFolder, "..") // tests read testdata/ as the Go ones do
	run.Env = append(os.Environ(), "NODE_OPTIONS=")
	if said, err := run.CombinedOutput(); err != nil {
		t.Errorf("%s: %v\n%s", path, err, said)
	}
}
