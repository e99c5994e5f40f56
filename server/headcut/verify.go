package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"headcut/model"
	"headcut/sync/store/boltstore"
)

var verifyCommand = command{
	name: "verify", args: "--data DIR", summary: "recompute everything in a data folder and compare",
	help: `
Recomputes every hash, number, folded feature and photo of a data folder and compares
them with what is stored. The server must be stopped, or DIR be a backup.`,
	run: runVerify,
}

func runVerify(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "data or backup `folder`")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || len(c.args) > 0 {
		return c.misused("say --data DIR and nothing else")
	}
	if err := mustExist(*data); err != nil {
		return err
	}
	return verify(ctx, c, *data)
}

func verify(ctx context.Context, c *call, dir string) error {
	s, err := boltstore.Open(filepath.Join(dir, registerFile), boltstore.Options{Now: time.Now})
	if err != nil {
		return err
	}
	defer s.Close()
	bar := newProgress(c.stderr, "verifying")
	found, err := s.Verify(ctx, nil)
	bar.done()
	if err != nil {
		return err
	}
	photos, err := boltstore.OpenPhotos(filepath.Join(dir, photoFolder))
	if err != nil {
		return err
	}
	whole, broken, err := photos.Verify(ctx)
	if err != nil {
		return err
	}
	if len(broken) > 0 {
		return &model.Problem{Reason: "these photos are not what was sent: " + strings.Join(broken, ", "), Fix: "restore them from a backup, or move them away and have them sent again"}
	}
	fmt.Fprintf(c.stdout, "Sound: %d entries, %d features, %d properties, %d photos.\n", found.Entries, found.Features, found.Properties, whole)
	return nil
}
