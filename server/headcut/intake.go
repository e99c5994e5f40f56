package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"

	"headcut/model"
	"headcut/server"
)

var intakeCommand = command{
	name: "intake", args: "--data DIR [--property NAME] FILE...", summary: "take in GPX, GeoJSON, level-book CSV, or what a phone saved to a file",
	help: `
Reads files of other devices into a property's register: GPX 1.1 (waypoints, routes,
tracks), GeoJSON, and a level book as CSV with the columns station, backsight,
intermediate, foresight, distance_m, remark. It goes by what is in a file, not by its name.

A file that a phone saved because there was no signal (Save to a file, a .tar) is taken in
as if the phone had sent it. It names its properties itself: --property is not needed.

Taking the same file in again changes nothing. What had to be changed or left out is
listed with its line; a file that cannot be trusted is refused whole.`,
	run: runIntake,
}

func runIntake(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "data `folder`")
	property := f.String("property", "", "`name` of the property; made if it is not there; not needed for what a phone saved")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || len(c.args) == 0 {
		return c.misused("say --data DIR, --property NAME unless a phone saved the files, and at least one FILE")
	}
	client, done, err := office(ctx, *data)
	if err != nil {
		return err
	}
	defer done()
	failed := 0
	bar := newProgress(c.stderr, "taking in")
	for i, path := range c.args {
		bar.at(int64(i), int64(len(c.args)), "files")
		taken, err := takeFile(ctx, client, *property, path)
		bar.done()
		if err != nil {
			failed++
			fmt.Fprintf(c.stderr, "%s: refused whole: %s\n", path, told(err))
			continue
		}
		printTaken(c, path, taken)
		failed += len(taken.Refused)
	}
	if failed > 0 {
		return &model.Problem{Reason: fmt.Sprintf("%d not taken in; the rest was", failed), Fix: "mend what is listed above and run it again: what is in already stays as it is"}
	}
	return nil
}

func takeFile(ctx context.Context, client *http.Client, property, path string) (server.Taken, error) {
	var taken server.Taken
	file, err := os.Open(path)
	if err != nil {
		return taken, errors.Unwrap(err)
	}
	defer file.Close()
	query := url.Values{"property": {property}, "file": {filepath.Base(path)}}
	err = server.Ask(ctx, client, http.MethodPost, "/office/intake?"+query.Encode(), file, &taken)
	return taken, err
}

func printTaken(c *call, path string, taken server.Taken) {
	if taken.Made {
		fmt.Fprintf(c.stdout, "New property: %s\n", taken.Property.Name)
	}
	fmt.Fprintf(c.stdout, "%s: %d new, %d known already\n", path, taken.New, taken.Known)
	if taken.Device != "" {
		fmt.Fprintf(c.stdout, "  handed over by %s; photos: %d new, %d known already\n", taken.From, taken.PhotosNew, taken.PhotosKnown)
	}
	for _, note := range taken.Notes {
		fmt.Fprintf(c.stdout, "  %s\n", note.Error())
	}
	for _, refused := range taken.Refused {
		fmt.Fprintf(c.stderr, "  not taken: %s\n", refused.Error())
	}
}
