package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"maps"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"time"

	"headcut/server"
	"headcut/server/demo"
)

var demoCommand = command{
	name: "demo", args: "[--data DIR] [--fill-only] [--listen HOST:PORT] [--address URL] [--cert FILE --key FILE] [--plain] [--proxy ADDRESS]", summary: "fill a demo register, map and exports, and serve them",
	help: `
Plays the days of a made-up property through two field devices, takes in a handheld's
file and a level book, writes the exports, and serves all of it, printing the addresses
to open. Without --data it keeps nothing. A DIR that has a demo already is served as it
is. --fill-only stops before serving.`,
	run: runDemo,
}

func runDemo(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder to fill; a temporary one if not given")
	fillOnly := f.Bool("fill-only", false, "fill it and stop")
	var where netFlags
	where.add(f, "127.0.0.1:8080")
	if err := c.parse(f); err != nil {
		return err
	}
	if len(c.args) > 0 {
		return c.misused("unexpected %q", c.args)
	}
	if *data == "" {
		dir, err := os.MkdirTemp("", "headcut-demo-")
		if err != nil {
			return err
		}
		defer os.RemoveAll(dir)
		*data = dir
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	log := slog.New(slog.NewTextHandler(c.stderr, &slog.HandlerOptions{Level: slog.LevelWarn}))
	listener, address, err := where.open(log)
	if err != nil {
		return err
	}
	filled := mustExist(*data) == nil
	d, err := serveDataDir(ctx, *data, log)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	return serve(ctx, d, &where, listener, address, log, func(address string) error {
		show := &demonstration{call: c, dir: *data, address: address, server: d.server}
		if filled {
			fmt.Fprintf(c.stdout, "%s has a register already: serving it as it is.\n", *data)
		} else if err := show.fill(ctx); err != nil {
			return err
		}
		if *fillOnly {
			stop()
			return nil
		}
		return show.invite(ctx)
	})
}

// demonstration is one showing of the demo on a server that is running.
type demonstration struct {
	*call
	dir, address string
	server       *server.Server
}

func (d *demonstration) fill(ctx context.Context) error {
	steps := []func(context.Context) error{d.play, d.takeIn, d.export}
	for _, step := range steps {
		if err := step(ctx); err != nil {
			return err
		}
	}
	return nil
}

func (d *demonstration) play(ctx context.Context) error {
	property, _, err := d.server.PropertyOrNew(ctx, demo.PropertyName)
	if err != nil {
		return err
	}
	var codes []string
	for _, name := range demo.People {
		code, _, err := d.server.InviteDevice(ctx, name, property)
		if err != nil {
			return err
		}
		codes = append(codes, code)
	}
	fmt.Fprintf(d.stdout, "Two devices enrol on %s, a made-up property, and go out of signal.\n", demo.PropertyName)
	bar := newProgress(d.stderr, "entries")
	began := time.Now()
	score, err := demo.Play(ctx, demo.Cast{
		Address: d.address, Codes: codes,
		Told: func(done, total int, _ time.Time) { bar.at(int64(done), int64(total), "entries") },
	})
	bar.done()
	if err != nil {
		return err
	}
	fmt.Fprintf(d.stdout, "%d entries and %d photos of %d days, sent and acknowledged in %.1f s.\n", score.Captures, score.Photos, score.Days, time.Since(began).Seconds())
	return nil
}

// takeIn writes what was handed in to files and takes them in as the office would.
func (d *demonstration) takeIn(ctx context.Context) error {
	folder := filepath.Join(d.dir, "handed-in")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	client, done, err := office(ctx, d.dir)
	if err != nil {
		return err
	}
	defer done()
	files := demo.HandedIn()
	for _, name := range slices.Sorted(maps.Keys(files)) {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(files[name]), 0o644); err != nil {
			return err
		}
		taken, err := takeFile(ctx, client, url.Values{"property": {demo.PropertyName}}, path)
		if err != nil {
			return err
		}
		printTaken(d.call, d.dir, path, taken)
	}
	return nil
}

func (d *demonstration) export(ctx context.Context) error {
	for _, format := range []string{"geojson", "kml"} {
		path := filepath.Join(d.dir, "sandalwood-run."+format)
		out := &call{command: exportCommand, stdout: d.stdout, stderr: d.stderr,
			args: []string{"--data", d.dir, "--property", demo.PropertyName, "--format", format, "--out", path}}
		if err := out.run(ctx, out); err != nil {
			return err
		}
		fmt.Fprintf(d.stdout, "Wrote %s for the desktop GIS.\n", path)
	}
	return nil
}

// invite prints the addresses to open.
func (d *demonstration) invite(ctx context.Context) error {
	property, err := d.server.Property(demo.PropertyName)
	if err != nil {
		return err
	}
	secret, err := d.server.Share(ctx, property, "", time.Now().AddDate(0, 0, 7))
	if err != nil {
		return err
	}
	link := d.address + "/map/" + secret
	if err := answers(ctx, link); err != nil {
		return err
	}
	var codes [2]string // each enrols one device
	for i := range codes {
		if codes[i], _, err = d.server.InviteDevice(ctx, "Demo officer", property); err != nil {
			return err
		}
	}
	_, err = fmt.Fprintf(d.stdout, "\nOpen the landholder's map:\n  %s\n\nOpen the field page, as a phone with its own code:\n  %s\n\nOpen the desk page, as a computer with its own code:\n  %s\n\nStop with Ctrl-C.\n",
		link, d.server.EnrolAddress(codes[0]), d.server.EnrolDeskAddress(codes[1]))
	return err
}

// answers asks an address before it is printed.
func answers(ctx context.Context, address string) error {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return err
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusOK {
		return errors.New("the map answered " + res.Status)
	}
	return nil
}
