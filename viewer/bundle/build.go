package main

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// page is a web page of the viewer: a folder of src with main.tsx, page.css, icon.svg and
// page.html. In page.html, {{script}}, {{style}}, {{icon}} and, for phones that read no
// manifest, {{touch}} stand for the addresses of what is built of the others.
type page struct {
	name   string
	pieces bool   // parts that main.tsx imports when they are needed are files of their own
	worker string // of a service worker below the folder, "" for none; built as NAME-worker.js

	// Of a page that can be put on the home screen: its address on the server, and its title.
	address, title string
}

var pages = []page{{name: "landholder"}, {
	name: "field", pieces: true, worker: "worker/worker.ts",
	address: "/field/", title: "Headcut in the field",
}}

// build bundles every page and returns the files of dist by name. Equal sources and
// libraries give equal bytes, wherever the folder lies.
func build(root string) (files, error) {
	out := files{}
	used := map[string]bool{} // libraries that went into a bundle
	for _, p := range pages {
		src := filepath.Join(root, "src", p.name)
		script, err := bundle(root, filepath.Join(src, "main.tsx"), p.name, p.pieces, out, used)
		if err != nil {
			return nil, err
		}
		style, err := bundle(root, filepath.Join(src, "page.css"), p.name, false, out, used)
		if err != nil {
			return nil, err
		}
		if p.worker != "" {
			built, err := bundle(root, filepath.Join(src, p.worker), p.name+"-worker", false, out, used)
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
		if p.address != "" {
			if touch, err = out.addInstall(p, icon, picture); err != nil {
				return nil, err
			}
		}
		filled := strings.NewReplacer(
			"{{touch}}", "/assets/"+touch,
			"{{script}}", "/assets/"+script, "{{style}}", "/assets/"+style, "{{icon}}", "/assets/"+icon,
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
// module, and what it imports only when needed are files beside it.
func bundle(root, entry, name string, pieces bool, out files, used map[string]bool) (string, error) {
	format := api.FormatIIFE
	if pieces {
		format = api.FormatESModule
	}
	result := api.Build(api.BuildOptions{
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
		Write:               false,
		LogLevel:            api.LogLevelSilent,
	})
	if len(result.Errors) > 0 {
		return "", errors.New(strings.Join(api.FormatMessages(result.Errors, api.FormatMessagesOptions{Kind: api.ErrorMessage}), "\n"))
	}
	if err := addLibraries(result.Metafile, used); err != nil {
		return "", err
	}
	main := ""
	for _, f := range result.OutputFiles {
		file := filepath.Base(f.Path)
		out[file] = slices.Clone(f.Contents)
		if !strings.HasPrefix(file, name+"-part-") {
			main = file
		}
	}
	if main == "" || !pieces && len(result.OutputFiles) != 1 {
		return "", fmt.Errorf("%s gave %d files", entry, len(result.OutputFiles))
	}
	return main, nil
}
