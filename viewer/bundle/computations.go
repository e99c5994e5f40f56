package main

import (
	"crypto/sha256"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/evanw/esbuild/pkg/api"

	"headcut/viewer/bundle/gotables"
)

var names = flag.Bool("names", false, "leave in the computations what a trace of their stack reads: not to be shipped")

// manifest is compute.json, by which pages find the files of the day.
type manifest struct {
	Program string `json:"program"` // model/compute and sync/phonecompute as WebAssembly
	Worker  string `json:"worker"`  // runs it
	Module  string `json:"module"`  // for a page that is not bundled: load, loadInWorker
}

// buildComputations compiles viewer/wasm for browsers with the Go toolchain that runs
// this and returns the files of wasm/built. It needs no library of node_modules.
func buildComputations(root string) (files, error) {
	out := files{}
	program, err := compile(root, "./wasm")
	if err != nil {
		return nil, err
	}
	m := manifest{Program: out.named("compute", ".wasm", program)}
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, fmt.Errorf("go env GOROOT: %w", err)
	}
	glue, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(goroot)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return nil, err
	}
	name, err := json.Marshal(m.Program)
	if err != nil {
		return nil, err
	}
	of := goProgram(string(glue), "export default "+string(name))
	for entry, name := range map[string]*string{"module": &m.Module, "worker": &m.Worker} {
		script, err := transpile(root, filepath.Join("src", "compute", entry+".ts"), of)
		if err != nil {
			return nil, err
		}
		*name = out.named(entry, ".js", script)
	}
	out["compute.json"], err = json.Marshal(m)
	return out, err
}

// goProgram gives a script what belongs to the program that it runs, so that it asks for no
// further file: "go:glue" is the toolchain's own script, "go:program" the program's file.
func goProgram(glue, program string) api.Plugin {
	const scheme = "go:"
	texts := map[string]string{"glue": glue, "program": program}
	return api.Plugin{Name: "go", Setup: func(build api.PluginBuild) {
		build.OnResolve(api.OnResolveOptions{Filter: "^" + scheme}, func(asked api.OnResolveArgs) (api.OnResolveResult, error) {
			return api.OnResolveResult{Path: strings.TrimPrefix(asked.Path, scheme), Namespace: scheme}, nil
		})
		build.OnLoad(api.OnLoadOptions{Filter: ".", Namespace: scheme}, func(asked api.OnLoadArgs) (api.OnLoadResult, error) {
			text, ok := texts[asked.Path]
			if !ok {
				return api.OnLoadResult{}, fmt.Errorf("%s%s is not known", scheme, asked.Path)
			}
			return api.OnLoadResult{Contents: &text, Loader: api.LoaderJS}, nil
		})
	}}
}

// named adds a file whose name carries a hash of its content, and returns the name.
func (f files) named(stem, ending string, content []byte) string {
	name := fmt.Sprintf("%s-%.4X%s", stem, sha256.Sum256(content), ending)
	f[name] = content
	return name
}

// inlined are the packages in which functions are inlined, since browsers inline little: those that every plan
// spends most of its time in, and the runtime. It makes what a phone loads 2 % longer, and plans take two thirds of
// the time; inlined everywhere, 6 % longer and some 60 %. The Makefile checks with the same flags, so that all is compiled once.
var inlined = []string{"runtime", "internal/...", "reflect", "headcut/model/jsonvalue", "headcut/model/jsontoken", "headcut/model/section", "headcut/model/works"}

// compile builds a program below viewer without the names that only a debugger or a trace of its stack reads
// (gotables; -names leaves the latter), and without the paths of this machine. Go's older collector is 11 kB lighter
// compressed, and in a browser, on one thread and without vectors, as quick.
func compile(root, folder string) ([]byte, error) {
	dir, err := os.MkdirTemp("", "compute-wasm")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "compute.wasm")
	without := "-s -w"
	if *names {
		without = "-w" // browsers' traces name functions too
	}
	args := []string{"build", "-trimpath", "-buildvcs=false", "-ldflags", without, "-gcflags", "all=-l"}
	for _, in := range inlined {
		args = append(args, "-gcflags", in+"=")
	}
	build := exec.Command("go", append(args, "-o", file, folder)...)
	build.Dir = root
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=", "GOEXPERIMENT=nogreenteagc")
	if said, err := build.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("go build %s in %s for js/wasm: %w\n%s", folder, root, err, said)
	}
	program, err := os.ReadFile(file)
	if err != nil || *names {
		return program, err
	}
	return gotables.Blank(program)
}

// transpile makes one script of the viewer, with what it imports, an ES module for browsers. What
// it imports of Node stays so, for tests that run there.
func transpile(root, entry string, plugins ...api.Plugin) ([]byte, error) {
	result := api.Build(forReaders(api.BuildOptions{
		AbsWorkingDir:     root,
		EntryPoints:       []string{filepath.Join(root, entry)},
		Bundle:            true,
		Format:            api.FormatESModule,
		Target:            api.ES2020,
		Platform:          api.PlatformBrowser,
		External:          []string{"node:*"},
		MinifyWhitespace:  true,
		MinifyIdentifiers: true,
		MinifySyntax:      true,
		Charset:           api.CharsetUTF8,
		Write:             false,
		LogLevel:          api.LogLevelSilent,
		Plugins:           plugins,
	}))
	if len(result.Errors) > 0 {
		return nil, failure(result)
	}
	return result.OutputFiles[0].Contents, nil
}
