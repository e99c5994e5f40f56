package main

import (
	"log/slog"
	"path/filepath"
	"testing"
)

// What was withdrawn after the backup does not come back by a restore.
func TestRestoreReopensNoLink(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	d, err := openDataDir(t.Context(), at("data"), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	if err := d.close(t.Context()); err != nil {
		t.Fatal(err)
	}
	takePoint(t, at("data"), "Stony Block")
	said(t, 0, "share", "--data", at("data"), "--property", "Stony Block")
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	said(t, 0, "links", "--data", at("data"), "--revoke", "1")
	mustSay(t, said(t, 0, "restore", "--from", at("bk"), "--data", at("new")), "0 phones and 1 link are kept shut", "--confirm")
	mustSay(t, said(t, 0, "links", "--data", at("new")), "kept shut since the restore of ")
	mustSay(t, said(t, 0, "links", "--data", at("new"), "--confirm", "all"), "1 link confirmed.")
	mustSay(t, said(t, 0, "devices", "--data", at("new"), "--confirm", "all"), "0 phones confirmed.")
	said(t, 2, "devices", "--data", at("new"), "--confirm", "all", "--revoke", "1")
}
