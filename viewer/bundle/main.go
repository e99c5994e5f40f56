// Command bundle makes viewer/dist, the pages that the server embeds, from viewer/src and
// the libraries in viewer/node_modules. It is a module of its own so that the bundler is
// no dependency of the server, and it needs no Node: npm only fetches the libraries.
//
//	go generate ./viewer               writes viewer/dist
//	go run -C viewer/bundle . -check   fails when viewer/dist is not what the sources give
//	go run -C viewer/bundle . -out DIR writes the pages elsewhere, for their tests
//	go run -C viewer/bundle . -readable
//	                                   writes them for debugging: scripts that are not minified
//	go run -C viewer/bundle . -script FILE -out DIR
//	                                   writes one script alone as a module, for tests of it
//	go run -C viewer/bundle . -tests   runs the scripts' tests that need no browser, but those with a
//	                                   whole page or phone, which -whole runs; with parts of paths
//	                                   the files of both that have one of them
//	go run -C viewer/bundle . -computations DIR
//	                                   writes the computations for browsers, which need no npm;
//	                                   with -unpacked without compressed copies, for tests; with -names
//	                                   so that a panic's trace names functions, files and lines
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

var readable = flag.Bool("readable", false, "leave scripts readable, with their sources in them, for debugging: not to be committed")

// forReaders has scripts built so that a debugger shows the sources, when that is asked for.
func forReaders(o api.BuildOptions) api.BuildOptions {
	if *readable {
		o.MinifyWhitespace, o.MinifyIdentifiers, o.MinifySyntax = false, false, false
		o.Sourcemap = api.SourceMapInline
	}
	return o
}

// failure is what the bundler says of the errors of a script.
func failure(result api.BuildResult) error {
	return errors.New(strings.Join(api.FormatMessages(result.Errors, api.FormatMessagesOptions{Kind: api.ErrorMessage}), "\n"))
}

func main() {
	check := flag.Bool("check", false, "compare with dist and change nothing")
	root := flag.String("viewer", "..", "the viewer folder")
	out := flag.String("out", "", "write the pages into this `folder` instead of dist")
	script := flag.String("script", "", "bundle one script alone into -out, from this `file` below the viewer folder")
	computations := flag.String("computations", "", "compile the computations into this `folder` instead, below the viewer folder unless absolute")
	tests := flag.Bool("tests", false, "run the scripts' tests that need no browser and draw no page, and write nothing")
	whole := flag.Bool("whole", false, "with -tests, run those with a whole page, or a phone's store")
	unpacked := flag.Bool("unpacked", false, "leave out the compressed copies of the computations, which take long")
	flag.Parse()
	err := error(nil)
	if *tests {
		var output string
		output, err = testScripts(*root, *whole, flag.Args()...)
		fmt.Print(output)
	} else if *computations != "" {
		err = runComputations(*root, *computations, !*unpacked)
	} else if *script != "" {
		err = runScript(*root, *script, *out)
	} else {
		err = run(*root, *out, *check)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "bundle:", err)
		os.Exit(1)
	}
}

func run(root, out string, check bool) error {
	root, err := filepath.Abs(root)
	if err != nil {
		return err
	}
	if _, err := os.Stat(filepath.Join(root, "node_modules", "ol")); err != nil {
		return fmt.Errorf("the libraries are not there: run npm ci --ignore-scripts in %s first", root)
	}
	built, err := build(root)
	if err != nil {
		return err
	}
	dist := filepath.Join(root, "dist")
	if out != "" {
		dist = out
	}
	if *readable {
		return built.write(dist) // compressing the maps takes minutes
	}
	if err := built.compress(read(dist)); err != nil {
		return err
	}
	if check {
		return built.compare(dist)
	}
	return built.write(dist)
}

// runScript writes a script of the viewer as NAME.js, beside what is in the folder already.
func runScript(root, script, out string) error {
	root, err := filepath.Abs(root)
	if err != nil {
		return err
	}
	name := strings.TrimSuffix(filepath.Base(script), filepath.Ext(script))
	built := files{}
	module, err := transpile(root, script, workers(root, page{address: "/field/"}.assets(), name, built))
	if err != nil {
		return err
	}
	built[name+".js"] = module
	return built.add(out)
}

func runComputations(root, dir string, packed bool) error {
	root, err := filepath.Abs(root)
	if err != nil {
		return err
	}
	if !filepath.IsAbs(dir) {
		dir = filepath.Join(root, dir)
	}
	built, err := buildComputations(root)
	if err != nil {
		return err
	}
	if packed {
		if err := built.compress(read(dir)); err != nil {
			return err
		}
	}
	return built.write(dir)
}
