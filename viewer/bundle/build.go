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
// page.html. In page.html, {{script}}, {{style}} and {{icon}} stand for the addresses of
// what is built of the others.
type page struct{ name string }

var pages = []page{{"landholder"}}

// build bundles every page and returns the files of dist by name. Equal sources and
// libraries give equal bytes, wherever the folder lies.
func build(root string) (files, error) {
	out := files{}
	used := map[string]bool{} // libraries that went into a bundle
	for _, p := range pages {
		src := filepath.Join(root, "src", p.name)
		script, err := bundle(root, filepath.Join(src, "main.tsx"), p.name, out, used)
		if err != nil {
			return nil, err
		}
		style, err := bundle(root, filepath.Join(src, "page.css"), p.name, out, used)
		if err != nil {
			return nil, err
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
		filled := strings.NewReplacer(
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
// and returns the file's name, which carries a hash of its content.
func bundle(root, entry, name string, out files, used map[string]bool) (string, error) {
	result := api.Build(api.BuildOptions{
		AbsWorkingDir:       root,
		EntryPointsAdvanced: []api.EntryPoint{{InputPath: entry, OutputPath: name}},
		EntryNames:          "[name]-[hash]",
		Outdir:              filepath.Join(root, "dist"),
		Bundle:              true,
		Format:              api.FormatIIFE,
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
	if len(result.OutputFiles) != 1 {
		return "", fmt.Errorf("%s gave %d files instead of one", entry, len(result.OutputFiles))
	}
	if err := addLibraries(result.Metafile, used); err != nil {
		return "", err
	}
	file := filepath.Base(result.OutputFiles[0].Path)
	out[file] = slices.Clone(result.OutputFiles[0].Contents)
	return file, nil
}
