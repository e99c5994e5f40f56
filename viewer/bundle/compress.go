package main

import (
	"bytes"
	"compress/gzip"
	"io"
	"maps"
	"os"
	"path/filepath"
	"regexp"

	"github.com/andybalholm/brotli"
)

// hashed are the names that carry a hash of the content: those files never change, so that
// a compressed copy is made once and sent often.
var hashed = regexp.MustCompile(`-[0-9A-Z]{8}\.(js|css|svg|wasm)$`)

// compress adds a .br and a .gz, the smallest that either can do, of each file whose name
// carries a hash. Those of kept, an earlier result, are not made again where they give the content.
func (f files) compress(kept files) error {
	packed := files{}
	for name, content := range f {
		if !hashed.MatchString(name) {
			continue
		}
		if kept.unpack(name, content) {
			packed[name+".br"], packed[name+".gz"] = kept[name+".br"], kept[name+".gz"]
			continue
		}
		var br, gz bytes.Buffer
		const window = 22 // 4 MB on the phone that unpacks it; a wider one makes the program no smaller
		b := brotli.NewWriterOptions(&br, brotli.WriterOptions{Quality: brotli.BestCompression, LGWin: window})
		z, err := gzip.NewWriterLevel(&gz, gzip.BestCompression)
		if err != nil {
			return err
		}
		for _, w := range []interface {
			Write([]byte) (int, error)
			Close() error
		}{b, z} {
			if _, err := w.Write(content); err != nil {
				return err
			}
			if err := w.Close(); err != nil {
				return err
			}
		}
		packed[name+".br"], packed[name+".gz"] = br.Bytes(), gz.Bytes()
	}
	maps.Copy(f, packed)
	return nil
}

// unpack tells whether both compressed copies of a file are there, and give its content.
func (f files) unpack(name string, content []byte) bool {
	z, err := gzip.NewReader(bytes.NewReader(f[name+".gz"]))
	return err == nil && gives(z, content) && gives(brotli.NewReader(bytes.NewReader(f[name+".br"])), content)
}

func gives(from io.Reader, content []byte) bool {
	got, err := io.ReadAll(from)
	return err == nil && bytes.Equal(got, content)
}

// read is what a folder holds, nothing when it is not there.
func read(dir string) files {
	f := files{}
	there, err := os.ReadDir(dir)
	if err != nil {
		return f
	}
	for _, e := range there {
		if content, err := os.ReadFile(filepath.Join(dir, e.Name())); err == nil {
			f[e.Name()] = content
		}
	}
	return f
}
