package main

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// page is a web page of the viewer: a folder of src with main.tsx, page.css, icon.svg and
// page.html, and the folder icon when it can be put on the home screen: see pictures. In
// page.html, {{script}}, {{style}}, {{icon}} and, for phones that read no manifest, {{touch}}
// stand for the addresses of what is built of the others; {{preload}} for links to the pieces
// that the script needs at once.
type page struct {
	name   string
	pieces bool // parts that main.tsx imports when they are needed are files of their own

	// Of a page that is a device of an officer: its address on the server, and its titles, as the
	// browser and as the home screen show it. It has a service worker, built as NAME-worker.js.
	address, title, short string
}

// assets is the address of the folder of what is built of the page. All of a page with a
// service worker lies below the page's own address: a worker of the page answers to the
// service worker by where its script lies.
func (p page) assets() string {
	if p.isDevice() {
		return p.address + "assets/"
	}
	return "/assets/"
}

// isDevice tells whether a page keeps a register of its own and works with no signal.
func (p page) isDevice() bool { return p.address != "" }

// defined are the constants that scripts are built with; viewer/src/base/page.ts reads them.
func (p page) defined() map[string]string {
	return map[string]string{"DESK": strconv.FormatBool(p.name == "desk")}
}

var pages = []page{
	{name: "landholder"},
	{name: "field", pieces: true, address: "/field/", title: "Headcut in the field", short: "Headcut"},
	{name: "desk", pieces: true, address: "/desk/", title: "Headcut at the desk", short: "Headcut desk"},
}

// serviceWorker is the script of the service workers, below viewer/src.
const serviceWorker = "serviceworker/worker.ts"

// build bundles every page and returns the files of dist by name. Equal sources and
// libraries give equal bytes, wherever the folder lies.
func build(root string) (files, error) {
	out := files{}
	used := map[string]bool{} // libraries that went into a bundle
	for _, p := range pages {
		src := filepath.Join(root, "src", p.name)
		script, pieces, err := bundle(root, filepath.Join(src, "main.tsx"), p, p.name, p.pieces, out, used)
		if err != nil {
			return nil, err
		}
		style, _, err := bundle(root, filepath.Join(src, "page.css"), p, p.name, false, out, used)
		if err != nil {
			return nil, err
		}
		if p.isDevice() {
			built, _, err := bundle(root, filepath.Join(root, "src", filepath.FromSlash(serviceWorker)), p, p.name+"-worker", false, out, used)
			if err != nil {
				return nil, err
			}
			// The server gives it under one address for ever, with the list of files before it.
			out[p.name+"-worker.js"] = out[built]
			delete(out, built)
		}
		picture, err := os.ReadFile(filepath.Join(src, "icon.svg"))
		if err != nil {
			return nil, err
		}
		icon := fmt.Sprintf("%s-%.4X.svg", p.name, sha256.Sum256(picture))
		out[icon] = picture
		html, err := os.ReadFile(filepath.Join(src, "page.html"))
		if err != nil {
			return nil, err
		}
		touch := ""
		if p.isDevice() {
			if touch, err = out.addInstall(p, icon, filepath.Join(src, "icon")); err != nil {
				return nil, err
			}
		}
		filled := strings.NewReplacer(
			"{{touch}}", p.assets()+touch, "{{preload}}", preload(p.assets(), pieces),
			"{{script}}", p.assets()+script, "{{style}}", p.assets()+style, "{{icon}}", p.assets()+icon,
		).Replace(string(html))
		out[p.name+".html"] = []byte(filled)
	}
	notice, err := noticeOf(filepath.Join(root, "node_modules"), used)
	if err != nil {
		return nil, err
	}
	out["NOTICE.txt"] = notice
	return out, nil
}

// bundle builds one entry point, adds its file to out and the libraries in it to used,
// and returns the file's name, which carries a hash of its content. In pieces, it is a
// module, and what it imports only when needed are files beside it; atOnce are those of
// them that it needs from the start.
func bundle(root, entry string, p page, name string, pieces bool, out files, used map[string]bool) (main string, atOnce []string, err error) {
	format := api.FormatIIFE
	if pieces {
		format = api.FormatESModule
	}
	result := api.Build(forReaders(api.BuildOptions{
		AbsWorkingDir:       root,
		EntryPointsAdvanced: []api.EntryPoint{{InputPath: entry, OutputPath: name}},
		EntryNames:          "[name]-[hash]",
		ChunkNames:          name + "-part-[hash]",
		Splitting:           pieces,
		Outdir:              filepath.Join(root, "dist"),
		Bundle:              true,
		Format:              format,
		Target:              api.ES2020,
		Platform:            api.PlatformBrowser,
		MinifyWhitespace:    true,
		MinifyIdentifiers:   true,
		MinifySyntax:        true,
		Charset:             api.CharsetUTF8,
		LegalComments:       api.LegalCommentsNone, // NOTICE.txt holds every licence whole
		Metafile:            true,
		Define:              p.defined(),
		Plugins:             []api.Plugin{workers(root, p.assets(), name, out)},
		Write:               false,
		LogLevel:            api.LogLevelSilent,
	}))
	if len(result.Errors) > 0 {
		return "", nil, failure(result)
	}
	if err := addLibraries(result.Metafile, used); err != nil {
		return "", nil, err
	}
	for _, f := range result.OutputFiles {
		file := filepath.Base(f.Path)
		out[file] = slices.Clone(f.Contents)
		if !strings.HasPrefix(file, name+"-part-") {
			main = file
		}
	}
	if main == "" || !pieces && len(result.OutputFiles) != 1 {
		return "", nil, fmt.Errorf("%s gave %d files", entry, len(result.OutputFiles))
	}
	atOnce, err = importedAtOnce(result.Metafile, main)
	return main, atOnce, err
}

// importedAtOnce lists the files that a built file imports without being asked to, and
// those that they import, by name.
func importedAtOnce(metafile, main string) ([]string, error) {
	var meta struct {
		Outputs map[string]struct {
			Imports []struct{ Path, Kind string }
		}
	}
	if err := json.Unmarshal([]byte(metafile), &meta); err != nil {
		return nil, fmt.Errorf("the bundler's list of outputs: %w", err)
	}
	imports := map[string][]string{} // by file, at once
	for path, output := range meta.Outputs {
		for _, i := range output.Imports {
			if i.Kind == "import-statement" {
				imports[filepath.Base(path)] = append(imports[filepath.Base(path)], filepath.Base(i.Path))
			}
		}
	}
	found := map[string]bool{}
	for waiting := imports[main]; len(waiting) > 0; waiting = waiting[1:] {
		if !found[waiting[0]] {
			found[waiting[0]] = true
			waiting = append(waiting, imports[waiting[0]]...)
		}
	}
	return slices.Sorted(maps.Keys(found)), nil
}

// preload makes a browser fetch all pieces of a script at the same time, instead of each
// once it has read the one that imports it.
func preload(assets string, pieces []string) string {
	lines := make([]string, len(pieces))
	for i, name := range pieces {
		lines[i] = `<link rel="modulepreload" href="` + assets + name + `">`
	}
	return strings.Join(lines, "\n")
}
