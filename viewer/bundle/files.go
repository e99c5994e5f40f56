package main

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// files is the content of dist, by file name.
type files map[string][]byte

// add writes these files beside what is in dir already.
func (f files) add(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for name, content := range f {
		if err := os.WriteFile(filepath.Join(dir, name), content, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// write makes dir hold these files and no others.
func (f files) write(dir string) error {
	if err := f.add(dir); err != nil {
		return err
	}
	there, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range there {
		if _, ours := f[e.Name()]; !ours {
			if err := os.Remove(filepath.Join(dir, e.Name())); err != nil {
				return err
			}
		}
	}
	return nil
}

// compare returns an error that names each file in which dir differs.
func (f files) compare(dir string) error {
	var differs []string
	for _, name := range slices.Sorted(maps.Keys(f)) {
		have, err := os.ReadFile(filepath.Join(dir, name))
		switch {
		case err != nil:
			differs = append(differs, name+" is missing")
		case !bytes.Equal(have, f[name]):
			differs = append(differs, name+" has other bytes")
		}
	}
	there, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range there {
		if _, ours := f[e.Name()]; !ours {
			differs = append(differs, e.Name()+" is not built from the sources")
		}
	}
	if len(differs) > 0 {
		return fmt.Errorf("dist is not what the sources give: %s; run go generate ./viewer and commit it", strings.Join(differs, ", "))
	}
	return nil
}
