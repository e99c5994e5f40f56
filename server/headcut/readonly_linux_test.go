package main

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

// whoMayNotWrite is a user who owns nothing here, for tests that root runs.
const whoMayNotWrite = 65534

// withoutRights runs f as a user to whom the permissions of files apply. Files are opened for
// writing on the thread that called; other threads only read.
func withoutRights(t *testing.T, f func()) {
	t.Helper()
	if os.Geteuid() != 0 {
		f()
		return
	}
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	if err := syscall.Setfsuid(whoMayNotWrite); err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := syscall.Setfsuid(0); err != nil {
			t.Fatal(err)
		}
	}()
	f()
}

// sealFolder takes the right to write in a folder from everybody, and gives its files' hashes.
func sealFolder(t *testing.T, dir string) map[string]string {
	t.Helper()
	hashes := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		hashes[path] = fmt.Sprintf("%x", sha256.Sum256(raw))
		if err != nil {
			return err
		}
		return os.Chmod(path, 0o444)
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		t.Cleanup(func() { _ = os.Chmod(path, 0o700) }) // so that the test's folder can be removed
		return os.Chmod(path, 0o555)
	}); err != nil {
		t.Fatal(err)
	}
	return hashes
}

// TestMediaThatCannotBeWritten: a data folder and a backup that can only be read are verified,
// exported, listed, backed up and restored from; what would write says that it cannot, and
// nothing there changes.
func TestMediaThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	for _, above := range []string{filepath.Dir(dir), dir} {
		if err := os.Chmod(above, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	at := func(name string) string { return filepath.Join(dir, name) }
	makeLarge(t, at("data"), 3)
	photo := []byte("the bytes of a photo")
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	for _, folder := range []string{"data", "bk"} { // as they lie on a stick
		name := fmt.Sprintf("%x", sha256.Sum256(photo))
		if err := os.MkdirAll(at(folder+"/photos/photo"), 0o700); err != nil {
			t.Fatal(err)
		}
		write(t, at(folder+"/photos/photo/"+name), photo)
		write(t, at(folder+"/photos/received"), []byte(name+"\n"))
	}
	if err := os.Mkdir(at("out"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(at("out"), 0o777); err != nil {
		t.Fatal(err)
	}
	write(t, at("out/p.csv"), []byte("name,kind,latitude,longitude\nA,photo-point,-16.1,133.2\n"))
	if err := os.Chmod(at("out/p.csv"), 0o644); err != nil {
		t.Fatal(err)
	}
	before := map[string]map[string]string{"data": sealFolder(t, at("data")), "bk": sealFolder(t, at("bk"))}
	withoutRights(t, func() {
		if f, err := os.OpenFile(at("data/"+registerFile), os.O_RDWR, 0); err == nil {
			f.Close()
			t.Fatal("the register can be written: this test says nothing")
		}
		for folder := range before {
			mustSay(t, said(t, 0, "verify", "--data", at(folder)), "Sound: ", " and 1 photo on 1 property")
			mustSay(t, said(t, 0, "properties", "--data", at(folder)), "Large")
			said(t, 0, "export", "--data", at(folder), "--property", "Large", "--out", at("out/"+folder+".geojson"))
			says := map[string][]string{"data": {"the register can only be read", "copy the folder to a disk"}, "bk": {"this is a backup of ", "restore it into a folder of its own"}}[folder]
			mustSay(t, said(t, 1, "intake", "--data", at(folder), "--property", "Large", at("out/p.csv")), says...)
			mustSay(t, said(t, 1, "share", "--data", at(folder), "--property", "Large"), says...)
		}
		mustSay(t, said(t, 0, "backup", "--data", at("data"), "--to", at("out/bk")), "1 photo added")
		mustSay(t, said(t, 0, "restore", "--from", at("bk"), "--data", at("out/data")), "Restored", "1 photo")
	})
	for folder, files := range before {
		for path, hash := range files {
			if raw, err := os.ReadFile(path); err != nil || fmt.Sprintf("%x", sha256.Sum256(raw)) != hash {
				t.Errorf("%s was changed: %v", path, err)
			}
		}
		text := string(read(t, at("out/"+folder+".geojson")))
		if !strings.Contains(text, `"kind":"check-dam"`) || !strings.HasSuffix(strings.TrimSpace(text), "}") {
			t.Errorf("the export of %s is %.300s", folder, text)
		}
	}
}
