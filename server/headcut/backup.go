package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"

	"headcut/model"
	"headcut/server"
	"headcut/sync/store/boltstore"
)

var backupCommand = command{
	name: "backup", args: "--data DIR --to FOLDER", summary: "copy a data folder while it is served",
	help: `
Writes a consistent copy of the register to FOLDER and adds the photos that are not there
yet, then opens the copy and verifies it. The server may go on serving. FOLDER may hold
an earlier backup: it is replaced only when the new one has been verified.`,
	run: runBackup,
}

var restoreCommand = command{
	name: "restore", args: "--from FOLDER --data DIR", summary: "make a data folder from a backup",
	help: `
Makes a new data folder DIR from a backup. Devices that synced after the backup was taken
notice it and send again what the backup lacks, as long as they have it.`,
	run: runRestore,
}

func runBackup(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "data `folder`")
	to := f.String("to", "", "backup `folder`")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || *to == "" || len(c.args) > 0 {
		return c.misused("say --data DIR --to FOLDER")
	}
	if err := mustExist(*data); err != nil {
		return err
	}
	if err := os.MkdirAll(*to, 0o700); err != nil {
		return err
	}
	if err := snapshot(ctx, c, *data, *to); err != nil {
		return err
	}
	added, err := copyPhotos(c, filepath.Join(*data, photoFolder), filepath.Join(*to, photoFolder))
	if err != nil {
		return err
	}
	fmt.Fprintf(c.stdout, "Backup in %s, %d photos added.\n", *to, added)
	return verify(ctx, c, *to)
}

// snapshot puts a verified copy of the register in place of the backup's.
func snapshot(ctx context.Context, c *call, data, to string) error {
	client, done, err := office(ctx, data)
	if err != nil {
		return err
	}
	defer done()
	fresh := filepath.Join(to, registerFile+".new")
	err = writeWhole(c, fresh, func(w io.Writer) error {
		return server.Ask(ctx, client, http.MethodGet, "/office/snapshot", nil, w)
	})
	if err != nil {
		return err
	}
	if err := verifyRegister(ctx, fresh); err != nil {
		return errors.Join(err, os.Remove(fresh))
	}
	return os.Rename(fresh, filepath.Join(to, registerFile))
}

func verifyRegister(ctx context.Context, path string) error {
	s, err := boltstore.Open(path, boltstore.Options{})
	if err != nil {
		return err
	}
	_, err = s.Verify(ctx, nil)
	return errors.Join(err, s.Close())
}

func runRestore(ctx context.Context, c *call) error {
	f := c.flags()
	from := f.String("from", "", "backup `folder`")
	data := f.String("data", "", "data `folder` to make")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || *from == "" || len(c.args) > 0 {
		return c.misused("say --from FOLDER --data DIR")
	}
	if err := mustExist(*from); err != nil {
		return err
	}
	if _, err := os.Stat(filepath.Join(*data, registerFile)); err == nil {
		return &model.Problem{Path: "--data", Reason: *data + " has a register already", Fix: "give a new folder, and keep the old one until the restored one is proven"}
	}
	if err := os.MkdirAll(*data, 0o700); err != nil {
		return err
	}
	if _, err := copyPhotos(c, filepath.Join(*from, photoFolder), filepath.Join(*data, photoFolder)); err != nil {
		return err
	}
	if err := boltstore.Restore(ctx, filepath.Join(*from, registerFile), filepath.Join(*data, registerFile)); err != nil {
		return err
	}
	fmt.Fprintf(c.stdout, "Restored to %s. Devices will send again what it lacks.\n", *data)
	return verify(ctx, c, *data)
}

// copyPhotos copies whole photos that to lacks; a photo's name is its hash, so one that is
// there is the same one.
func copyPhotos(c *call, from, to string) (added int64, err error) {
	bar := newProgress(c.stderr, "photos")
	defer bar.done()
	err = filepath.WalkDir(from, func(path string, entry fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) && path == from {
			return filepath.SkipAll
		}
		if err != nil || entry.IsDir() || len(entry.Name()) != 64 {
			return err
		}
		below, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		target := filepath.Join(to, below)
		if _, err := os.Stat(target); err == nil {
			return nil
		}
		if err := os.MkdirAll(filepath.Dir(target), 0o700); err != nil {
			return err
		}
		added++
		bar.at(added, 0, "copied")
		return writeWhole(c, target, func(w io.Writer) error {
			in, err := os.Open(path)
			if err != nil {
				return err
			}
			defer in.Close()
			_, err = io.Copy(w, in)
			return err
		})
	})
	return added, err
}
