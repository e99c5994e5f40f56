package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
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
