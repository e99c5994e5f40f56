package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"headcut/export"
	"headcut/model"
	"headcut/server"
)

var exportCommand = command{
	data: true, name: "export", args: "--data DIR --property NAME [--format FORMAT] [--out FILE]", summary: "write a property's features for a desktop GIS",
	help: `
Writes every feature of a property with its fields, figures, checks, who recorded it and
what clashes. FORMAT is geojson or kml. What was struck out is there too, marked so, without
a place and figures. Two exports of the same register differ only in when they were made.
Plans that were adopted are there with their input and what they rest on; the field plan of a
work names the plan that proposed it.

The format follow-up writes a table instead, what 'headcut follow-up --format csv' prints: what
is due for a look, and what visits measured of heads, edges, silt, cover and the works' condition.

GeoJSON may be edited in a desktop GIS and taken in again with 'headcut intake': keep the
columns uid and version.

FILE is replaced only when all of it has been written, and only when it is an earlier export;
"-" is standard output.`,
	run: runExport,
}

// followUpFormat names the table of what visits found, which is no file of features.
const followUpFormat = "follow-up"

// idleHeap is never written to, so that it is no memory; the garbage collector counts it and
// waits as long again. What an export holds is so small that it would collect without end.
const idleHeap = 16 << 20

func runExport(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	property := f.String("property", "", "`NAME` the property")
	format := f.String("format", "geojson", "`FORMAT` geojson, kml or follow-up")
	out := f.String("out", "-", "`FILE` file to write; - is standard output")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || *property == "" || *out == "" || len(c.args) > 0 {
		return c.misused("say --data DIR --property NAME --format FORMAT --out FILE")
	}
	if *out != "-" {
		if err := mayReplace(*out); err != nil {
			return err
		}
	}
	defer runtime.KeepAlive(make([]byte, idleHeap))
	if *format == followUpFormat {
		got, err := post[server.FollowedUp](ctx, *data, "/office/follow-up", server.FollowUpRequest{Property: *property})
		if err != nil {
			return err
		}
		return writeWhole(c, *out, func(w io.Writer) error { return writeFollowUpCSV(w, got) })
	}
	query := url.Values{"property": {*property}, "format": {*format}}
	return writeWhole(c, *out, func(w io.Writer) error {
		return ask(ctx, *data, http.MethodGet, "/office/export?"+query.Encode(), nil, w)
	})
}

// writeWhole writes a file that all may read once it is whole. "-" is standard output.
func writeWhole(c *call, path string, write func(io.Writer) error) error {
	if path == "-" {
		return write(c.stdout)
	}
	half, err := neighbour(path)
	if err != nil {
		return cannotWrite(path, err)
	}
	return takePlace(half, path, func(w io.Writer) error {
		bar := newProgress(c.stderr, "writing "+filepath.Base(path))
		defer bar.done()
		return write(&counted{Writer: w, p: bar})
	}, func(half string) error {
		return errors.Join(os.Chmod(half, 0o644), mayReplace(path)) // what it may not replace may have come meanwhile
	})
}

// cannotWrite names the file that was asked for, and not the neighbour that was to become it.
func cannotWrite(path string, err error) error {
	p := &model.Problem{Path: "--out", Reason: path + " cannot be written", Fix: "give a file in a folder that you may write to"}
	if why := plainly(err); why != nil {
		p.Reason, p.Fix = p.Reason+": "+why.Reason, why.Fix
	}
	if errors.Is(err, fs.ErrNotExist) {
		p.Reason, p.Fix = "there is no folder "+filepath.Dir(path), "make it, or give a file in a folder that is there"
	}
	return p
}

// mayReplace refuses a path where there is anything but an earlier export.
func mayReplace(path string) error {
	refuse := func(reason string) error {
		return &model.Problem{Path: "--out", Reason: path + " " + reason, Fix: "give the name of a new file, or move what is there"}
	}
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case info.IsDir():
		return refuse("is a folder")
	case info.Mode()&fs.ModeSymlink != 0:
		return refuse("is a link to another file")
	case !info.Mode().IsRegular():
		return refuse("is a device, not a file")
	case info.Size() == 0:
		return nil // nothing is lost with it
	}
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	defer file.Close()
	head := make([]byte, 4<<10)
	n, err := io.ReadFull(file, head)
	if err != nil && err != io.ErrUnexpectedEOF {
		return err
	}
	if !export.Recognise(head[:n]) && !bytes.HasPrefix(head[:n], []byte(strings.Join(followUpColumns, ",")+"\n")) {
		return refuse("is a file, and no export of headcut's")
	}
	return nil
}
