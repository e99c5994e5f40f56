package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// addLibraries adds to used the npm packages of which code went into a bundle.
func addLibraries(metafile string, used map[string]bool) error {
	var meta struct {
		Outputs map[string]struct {
			Inputs map[string]struct {
				BytesInOutput int `json:"bytesInOutput"`
			} `json:"inputs"`
		} `json:"outputs"`
	}
	if err := json.Unmarshal([]byte(metafile), &meta); err != nil {
		return fmt.Errorf("the bundler's list of inputs: %w", err)
	}
	for _, output := range meta.Outputs {
		for path, input := range output.Inputs {
			_, inside, ok := strings.Cut(path, "node_modules/")
			if !ok || input.BytesInOutput == 0 {
				continue
			}
			parts := strings.SplitN(inside, "/", 3)
			name := parts[0]
			if strings.HasPrefix(name, "@") {
				name += "/" + parts[1]
			}
			used[name] = true
		}
	}
	return nil
}

// noticeOf writes out the licence of every library used. A library without a licence
// text is an error: it must not be shipped.
func noticeOf(modules string, used map[string]bool) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("The pages contain code of these libraries, under the licences below.\n")
	for _, name := range slices.Sorted(maps.Keys(used)) {
		folder := filepath.Join(modules, filepath.FromSlash(name))
		raw, err := os.ReadFile(filepath.Join(folder, "package.json"))
		if err != nil {
			return nil, err
		}
		var p struct{ Version, License string }
		if err := json.Unmarshal(raw, &p); err != nil {
			return nil, fmt.Errorf("package.json of %s: %w", name, err)
		}
		text, err := licenceText(folder)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		rule := strings.Repeat("=", 72)
		fmt.Fprintf(&b, "\n%s\n%s %s (%s)\n%s\n\n%s\n", rule, name, p.Version, p.License, rule, text)
	}
	return b.Bytes(), nil
}

func licenceText(folder string) (string, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return "", err
	}
	for _, e := range entries {
		upper := strings.ToUpper(e.Name())
		if strings.HasPrefix(upper, "LICENSE") || strings.HasPrefix(upper, "LICENCE") {
			text, err := os.ReadFile(filepath.Join(folder, e.Name()))
			if err != nil {
				return "", err
			}
			return strings.TrimSpace(strings.ReplaceAll(string(text), "\r\n", "\n")), nil
		}
	}
	return "", fmt.Errorf("no licence text in the package")
}
