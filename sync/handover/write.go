package handover

import (
	"archive/tar"
	"bytes"
	"encoding/json"
	"errors"
	"io"
)

// Write writes a file of these items as a phone does: the entries first, whatever their
// order among the photos. The counts of about are filled in.
func Write(w io.Writer, about About, items []Item) error {
	about.Format, about.Version, about.Entries, about.Photos = Format, Version, 0, 0
	var entries bytes.Buffer
	for _, item := range items {
		if item.Entry == nil {
			about.Photos++
			continue
		}
		about.Entries++
		line, err := json.Marshal(struct {
			Property string `json:"property"`
			Entry    string `json:"entry"`
			Seal     string `json:"seal,omitempty"`
		}{item.Property, string(item.Entry), item.Seal})
		if err != nil {
			return err
		}
		entries.Write(line)
		entries.WriteByte('\n')
	}
	head, err := json.Marshal(about)
	if err != nil {
		return err
	}
	archive := tar.NewWriter(w)
	add := func(name string, body []byte) error {
		err := archive.WriteHeader(&tar.Header{Name: name, Mode: 0o644, Size: int64(len(body)), ModTime: about.MadeAt, Format: tar.FormatUSTAR})
		if err == nil {
			_, err = archive.Write(body)
		}
		return err
	}
	if err := errors.Join(add(aboutName, head), add(entriesName, entries.Bytes())); err != nil {
		return err
	}
	for _, item := range items {
		if item.Entry != nil {
			continue
		}
		if err := add(photoFolder+item.SHA.String()+photoEnding, item.Photo); err != nil {
			return err
		}
	}
	return archive.Close()
}
