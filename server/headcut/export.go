package main

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"runtime/debug"

	"headcut/server"
	"headcut/sync/store/boltstore"
)

var exportCommand = command{
	name: "export", args: "--data DIR --property NAME --format FORMAT --out FILE", summary: "write a property's features for a desktop GIS",
	help: `
Writes every feature of a property with its fields and figures. FORMAT is geojson or kml.
FILE is replaced only when all of it has been written; "-" is standard output.`,
	run: runExport,
}

func runExport(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "data `folder`")
	property := f.String("property", "", "`name` of the property")
	format := f.String("format", "geojson", "`format`: geojson or kml")
	out := f.String("out", "-", "`file` to write")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || *property == "" || *out == "" || len(c.args) > 0 {
		return c.misused("say --data DIR --property NAME --format FORMAT --out FILE")
	}
	debug.SetGCPercent(boltstore.ServingGCPercent) // what is held at once is small: collect it seldom
	client, done, err := office(ctx, *data)
	if err != nil {
		return err
	}
	defer done()
	query := url.Values{"property": {*property}, "format": {*format}}
	return writeWhole(c, *out, func(w io.Writer) error {
		return server.Ask(ctx, client, http.MethodGet, "/office/export?"+query.Encode(), nil, w)
	})
}

// writeWhole writes a file through a neighbour that takes its place only when it is whole
// and on the disk. "-" is standard output.
func writeWhole(c *call, path string, write func(io.Writer) error) error {
	if path == "-" {
		return write(c.stdout)
	}
	half, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".part-*")
	if err != nil {
		return err
	}
	defer os.Remove(half.Name()) // gone already when it was renamed
	bar := newProgress(c.stderr, "writing "+filepath.Base(path))
	err = write(&counted{Writer: half, p: bar})
	bar.done()
	if err := errors.Join(err, half.Sync(), half.Close()); err != nil {
		return err
	}
	if err := os.Chmod(half.Name(), 0o644); err != nil {
		return err
	}
	return os.Rename(half.Name(), path)
}
