package main

import (
	"bytes"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// TestABackupIsNotServed: a backup, also one that was copied or renamed, says that it is one to
// whatever would serve it or write into it, and is not changed; what only reads goes on. Served, it
// would let in whom the office shut out after it was taken.
func TestABackupIsNotServed(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	rightsAt(t, at("data"))
	takePoint(t, at("data"), "Stony Block")
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	said(t, 0, "links", "--data", at("data"), "--revoke", "A. Grazier")
	if err := os.CopyFS(at("copy"), os.DirFS(at("bk"))); err != nil {
		t.Fatal(err)
	}
	write(t, at("p.csv"), []byte("name,kind,latitude,longitude\nB,photo-point,-23.2,148.2\n"))
	for _, folder := range []string{"bk", "copy"} {
		before := read(t, at(folder+"/"+registerFile))
		for _, args := range [][]string{
			{"serve", "--listen", "127.0.0.1:0"},
			{"demo", "--listen", "127.0.0.1:0"},
			{"devices", "--revoke", "Bob"},
			{"links", "--revoke", "A. Grazier"},
			{"share", "--property", "Stony Block"},
			{"enrol", "--author", "Dee", "--property", "Stony Block"},
			{"intake", "--property", "Stony Block", at("p.csv")},
			{"intake", "--undo", "1"},
			{"properties", "--rename", "Stony Block", "--name", "Stone Block"},
		} {
			all := append([]string{args[0], "--data", at(folder)}, args[1:]...)
			mustSay(t, said(t, 1, all...), "this is a backup of ", "headcut restore --from ")
		}
		if !bytes.Equal(read(t, at(folder+"/"+registerFile)), before) {
			t.Errorf("%s was changed", folder)
		}
		if _, err := os.Stat(at(folder + "/" + markFile)); err == nil {
			t.Errorf("%s is marked as a data folder", folder)
		}
		mustSay(t, said(t, 0, "verify", "--data", at(folder)), "Sound: ")
		mustSay(t, said(t, 0, "properties", "--data", at(folder)), "Stony Block")
		mustSay(t, said(t, 0, "devices", "--data", at(folder)), "Bob")
		said(t, 0, "export", "--data", at(folder), "--property", "Stony Block", "--out", at(folder+".geojson"))
		said(t, 0, "backup", "--data", at("data"), "--to", at(folder))
		said(t, 0, "restore", "--from", at(folder), "--data", at(folder+"-restored"))
		takePoint(t, at(folder+"-restored"), "Other Block") // which is no backup any more
	}
	said(t, 0, "backup", "--data", at("bk"), "--to", at("second")) // a backup of a backup is one
	if text := said(t, 1, "serve", "--data", at("second"), "--listen", "127.0.0.1:0"); strings.Count(text, "this is a backup of ") != 1 {
		t.Errorf("said %s", text)
	}
}

// photosAt puts photos into a data folder as if a phone had sent them, and gives their hashes.
func photosAt(t *testing.T, data string, many int) (hashes []register.Hash) {
	t.Helper()
	photos, err := boltstore.OpenPhotos(filepath.Join(data, photoFolder))
	if err != nil {
		t.Fatal(err)
	}
	for i := range many {
		photo := fmt.Appendf(nil, "the bytes of photo %d", i)
		sha := register.HashOf(photo)
		if _, err := photos.WriteAt(t.Context(), store.Sending{Device: "d1-ann", SHA: sha}, 0, int64(len(photo)), bytes.NewReader(photo)); err != nil {
			t.Fatal(err)
		}
		hashes = append(hashes, sha)
	}
	return hashes
}

// TestUnfinishedBackup: one that ended while its photos were copied is not called sound, by verify
// or restore, and the next backup to the folder finishes it.
func TestUnfinishedBackup(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	makeLarge(t, at("data"), 3)
	photosAt(t, at("data"), 3)
	if err := os.Mkdir(at("bk"), 0o700); err != nil {
		t.Fatal(err)
	}
	write(t, at("bk/"+registerFile+".part-1"), nil)         // so that it is taken for a backup
	write(t, at("bk/"+photoFolder), []byte("not a folder")) // no photo can be written there
	said(t, 1, "backup", "--data", at("data"), "--to", at("bk"))
	if err := os.Remove(at("bk/" + photoFolder)); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{said(t, 1, "verify", "--data", at("bk")), said(t, 1, "restore", "--from", at("bk"), "--data", at("new")), said(t, 1, "restore", "--salvage", "--from", at("bk"), "--data", at("salvaged"))} {
		mustSay(t, text, "the backup was cut short and never finished")
	}
	mustSay(t, said(t, 0, "backup", "--data", at("data"), "--to", at("bk")), "3 photos added", "Sound: ")
	mustSay(t, said(t, 0, "verify", "--data", at("bk")), "Sound: ", "3 photos")
	mustSay(t, said(t, 0, "restore", "--from", at("bk"), "--data", at("again")), "Sound: ", "3 photos")
}

// TestPhotoOfAKilledServer: a photo that came whole, and whose server was killed before it named it, is
// in every look, copy and backup, and has its name after the next start.
func TestPhotoOfAKilledServer(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	makeLarge(t, at("data"), 3)
	photos := photosAt(t, at("data"), 3)
	said(t, 0, "properties", "--data", at("data")) // opens and notes them
	photo, part := at("data/"+photoFolder+"/photo/"+photos[1].String()), at("data/"+photoFolder+"/parts/d1-ann/"+photos[1].String())
	if err := os.Rename(photo, part); err != nil {
		t.Fatal(err)
	}
	mustSay(t, said(t, 0, "verify", "--data", at("data")), "Sound: ", "3 photos")
	mustSay(t, said(t, 0, "restore", "--salvage", "--from", at("data"), "--data", at("salvaged")), "3 photos")
	mustSay(t, said(t, 0, "verify", "--data", at("salvaged")), "Sound: ", "3 photos")
	mustSay(t, said(t, 0, "backup", "--data", at("data"), "--to", at("bk")), "3 photos added", "Sound: ")
	mustSay(t, said(t, 0, "verify", "--data", at("bk")), "Sound: ", "3 photos")
	if _, err := os.Stat(photo); err != nil {
		t.Errorf("after a start the photo has no name: %v", err)
	}
	// Half of it is none, and is named as what it is.
	if err := os.Rename(photo, part); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(part, 5); err != nil {
		t.Fatal(err)
	}
	mustSay(t, said(t, 1, "verify", "--data", at("data")), "missing, having been received once: "+photos[1].String())
}

// TestPhotoFolderIsGone: photos that came are missing when their folder was removed with the list
// of them, in a data folder, in a backup and in what is restored from it; a backup restores them.
func TestPhotoFolderIsGone(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	makeLarge(t, at("data"), 3)
	photosAt(t, at("data"), 3)
	said(t, 0, "properties", "--data", at("data")) // opens and notes them
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	if err := os.CopyFS(at("bare"), os.DirFS(at("bk"))); err != nil {
		t.Fatal(err)
	}
	for _, folder := range []string{"data", "bare"} {
		if err := os.RemoveAll(at(folder + "/" + photoFolder)); err != nil {
			t.Fatal(err)
		}
		for range 2 { // also after the folder was made again
			text := said(t, 1, "verify", "--data", at(folder))
			mustSay(t, text, "3 photos came once, and neither ")
			if strings.Contains(text, "Sound") {
				t.Errorf("said %s", text)
			}
			said(t, 0, "properties", "--data", at(folder))
		}
	}
	mustSay(t, said(t, 1, "restore", "--from", at("bare"), "--data", at("new")), "3 photos came once, and neither ")
	mustSay(t, said(t, 0, "restore", "--photos", "--from", at("bk"), "--data", at("data")), "3 photos restored")
	mustSay(t, said(t, 0, "verify", "--data", at("data")), "Sound: ", "3 photos")
}

// TestCopyCutShort: where the copy of a register was cut short, no new register takes its place, and
// every command says what to do; the next backup finishes it.
func TestCopyCutShort(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	rightsAt(t, at("data"))
	takePoint(t, at("data"), "Stony Block")
	if err := os.MkdirAll(at("bk"), 0o700); err != nil {
		t.Fatal(err)
	}
	write(t, at("bk/"+registerFile+".part-123"), []byte("half of a register"))
	for _, args := range [][]string{
		{"verify", "--data", at("bk")},
		{"serve", "--listen", "127.0.0.1:0", "--data", at("bk")},
		{"devices", "--data", at("bk")},
		{"restore", "--from", at("bk"), "--data", at("new")},
	} {
		mustSay(t, said(t, 1, args...), "was cut short", "run 'headcut backup' to it again")
	}
	if _, err := os.Stat(at("bk/" + registerFile)); err == nil {
		t.Fatal("there is a register in the backup that was cut short")
	}
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	mustSay(t, said(t, 0, "verify", "--data", at("bk")), "Sound: ")
}

// TestPhotosThatCameAreNotedAtAStart: a folder of photos that is lost after the start of a server is no
// folder to which none came.
func TestPhotosThatCameAreNotedAtAStart(t *testing.T) {
	data, empty := filepath.Join(t.TempDir(), "data"), filepath.Join(t.TempDir(), "photos")
	photosAt(t, data, 2) // by a server that was killed
	d, err := openDataDir(t.Context(), data, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := boltstore.OpenPhotos(empty); err != nil {
		t.Fatal(err)
	}
	found, err := boltstore.Audit(t.Context(), d.store, boltstore.PhotosReadOnly(empty), nil)
	if err != nil || found.Photos.Unlisted != 2 {
		t.Errorf("%d photos are known to be lost, %v", found.Photos.Unlisted, err)
	}
	if err := d.close(t.Context()); err != nil {
		t.Fatal(err)
	}
}
