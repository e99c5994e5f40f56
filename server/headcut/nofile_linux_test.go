package main

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"headcut/sync/register"
)

// TestPipesAndDevicesAreNoFiles: a pipe in the place of a register or a photo is not waited for, and a
// device that never ends is not copied.
func TestPipesAndDevicesAreNoFiles(t *testing.T) {
	pipe := func(path string) error { return syscall.Mkfifo(path, 0o600) }
	zero := func(path string) error { return os.Symlink("/dev/zero", path) }
	for _, c := range []struct {
		name    string
		put     func(path string) error
		atPhoto bool
		args    []string // of commands on the folder "bk"
		want    []string
	}{
		{"pipe as register, verify", pipe, false, []string{"verify", "--data", "bk"}, []string{"is no file"}},
		{"pipe as register, serve", pipe, false, []string{"serve", "--listen", "127.0.0.1:0", "--data", "bk"}, []string{"is no file"}},
		{"pipe as register, restore", pipe, false, []string{"restore", "--from", "bk", "--data", "new"}, []string{"is no file"}},
		{"pipe as register, salvage", pipe, false, []string{"restore", "--salvage", "--from", "bk", "--data", "new"}, []string{"is no file"}},
		{"device as register, restore", zero, false, []string{"restore", "--from", "bk", "--data", "new"}, []string{"is no file"}},
		{"device as register, salvage", zero, false, []string{"restore", "--salvage", "--from", "bk", "--data", "new"}, []string{"is no file"}},
		{"pipe as photo, restore", pipe, true, []string{"restore", "--from", "bk", "--data", "new"}, []string{"no good copy"}},
		{"pipe as photo, verify", pipe, true, []string{"verify", "--data", "bk"}, []string{"photo"}},
		{"device as photo, restore", zero, true, []string{"restore", "--from", "bk", "--data", "new"}, []string{"no good copy"}},
		{"device as photo, verify", zero, true, []string{"verify", "--data", "bk"}, []string{"photo"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			rightsAt(t, filepath.Join(dir, "data"))
			takePoint(t, filepath.Join(dir, "data"), "Stony Block")
			sha := photosAt(t, filepath.Join(dir, "data"), 1)[0]
			said(t, 0, "backup", "--data", filepath.Join(dir, "data"), "--to", filepath.Join(dir, "bk"))
			at := filepath.Join(dir, "bk", registerFile)
			if c.atPhoto {
				at = photoFile(t, filepath.Join(dir, "bk"), sha)
			}
			if err := os.Remove(at); err != nil {
				t.Fatal(err)
			}
			if err := c.put(at); err != nil {
				t.Fatal(err)
			}
			args := make([]string, len(c.args))
			for i, arg := range c.args {
				if args[i] = arg; arg == "bk" || arg == "new" {
					args[i] = filepath.Join(dir, arg)
				}
			}
			done := make(chan string, 1)
			go func() { done <- said(t, 1, args...) }()
			select {
			case text := <-done:
				mustSay(t, text, c.want...)
			case <-time.After(time.Minute): // it would wait for ever
				t.Fatalf("headcut %s does not end", strings.Join(c.args, " "))
			}
		})
	}
}

// photoFile is the path of a photo in a data folder or a backup.
func photoFile(t *testing.T, data string, sha register.Hash) string {
	t.Helper()
	path := filepath.Join(data, photoFolder, "photo", sha.String())
	if _, err := os.Stat(path); err != nil {
		t.Fatal(err)
	}
	return path
}
