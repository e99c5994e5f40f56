package main

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
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

// rightsAt makes a data folder with three phones, of Ann, of Bob, and of Cy on both properties, and two links.
func rightsAt(t *testing.T, data string) {
	t.Helper()
	d, err := openDataDir(t.Context(), data, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	stony, _, err := d.server.PropertyOrNew(t.Context(), "Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	far, _, err := d.server.PropertyOrNew(t.Context(), "Far Block")
	if err != nil {
		t.Fatal(err)
	}
	for device, author := range map[string]string{"d1-ann": "Ann", "d2-bob": "Bob", "d3-cy": "Cy"} {
		code, _, err := d.server.InviteDevice(t.Context(), author, stony, far)
		if err != nil {
			t.Fatal(err)
		}
		asked := httptest.NewRequest(http.MethodPost, "/enrol", strings.NewReader(`{"code":"`+code+`","device":"`+device+`"}`))
		answer := httptest.NewRecorder()
		if d.server.Handler().ServeHTTP(answer, asked); answer.Code != http.StatusOK {
			t.Fatalf("enrolling %s: %d %s", author, answer.Code, answer.Body)
		}
	}
	for _, who := range []string{"A. Grazier", "B. Grazier"} {
		if _, err := d.server.Share(t.Context(), stony, who, time.Now().AddDate(0, 1, 0)); err != nil {
			t.Fatal(err)
		}
	}
	if err := d.close(t.Context()); err != nil {
		t.Fatal(err)
	}
}

// What was revoked and withdrawn in the register that a restored one replaces stays so, also when
// that register is damaged.
func TestRestoreCarriesRevocationsOver(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	rightsAt(t, at("data"))
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	said(t, 0, "devices", "--data", at("data"), "--revoke", "Bob")
	said(t, 0, "devices", "--data", at("data"), "--revoke", "Cy", "--property", "Far Block")
	said(t, 0, "links", "--data", at("data"), "--revoke", "A. Grazier")
	carried := func(restored, replaced string) {
		t.Helper()
		mustSay(t, said(t, 0, "restore", "--from", at("bk"), "--data", at(restored), "--replaces", at(replaced)),
			"Carried over from "+at(replaced)+": the phone of Bob (row ", "has no rights since ",
			"the phone of Cy (row ", "has no right to Far Block.",
			"the link to Stony Block for A. Grazier (row 1) is withdrawn since ", "2 phones and 1 link are kept shut")
		mustSay(t, said(t, 0, "devices", "--data", at(restored), "--confirm", "all"), "2 phones confirmed.")
		mustSay(t, said(t, 0, "links", "--data", at(restored), "--confirm", "all"), "1 link confirmed.")
		list := said(t, 0, "devices", "--data", at(restored))
		for line := range strings.Lines(list) {
			if strings.Contains(line, "Bob") && !strings.Contains(line, "no rights since") || strings.Contains(line, "Cy") && strings.Contains(line, "Far Block") ||
				strings.Contains(line, "Ann") && !strings.Contains(line, "Far Block") {
				t.Errorf("after the restore: %s", line)
			}
		}
		if _, err := os.Stat(at(restored + "/" + unconfirmedFolder)); err == nil {
			t.Error("what it was made in is left behind")
		}
	}
	carried("new", "data")
	file := read(t, at("data/"+registerFile))
	clear(file[:2*os.Getpagesize()])
	write(t, at("data/"+registerFile), file)
	carried("newer", "data")

	mustSay(t, said(t, 1, "restore", "--from", at("bk"), "--data", at("same"), "--replaces", at("bk")), "is what is restored from")
	rightsAt(t, at("unrelated"))
	mustSay(t, said(t, 1, "restore", "--from", at("bk"), "--data", at("same"), "--replaces", at("unrelated")), "it is another one")
	if _, err := os.Stat(at("same")); err == nil {
		t.Error("a refused restore left a folder")
	}
	if err := os.CopyFS(at("copy"), os.DirFS(at("bk"))); err != nil {
		t.Fatal(err)
	}
	mustSay(t, said(t, 0, "restore", "--from", at("bk"), "--data", at("same"), "--replaces", at("copy")), "is itself a backup of ", "what was taken away later is not known")
	mustSay(t, said(t, 1, "restore", "--from", at("bk"), "--data", at("none"), "--replaces", at("nowhere")), "there is no register in ")
	mustSay(t, said(t, 1, "restore", "--from", at("bk"), "--data", at("new")), "has a register already", "--replaces")
	said(t, 2, "restore", "--from", at("bk"), "--data", at("new"), "--photos", "--replaces", at("data"))
}

// No register comes to its place before its rights are shut: one that cannot be shut is not there.
func TestRestoreIsShutBeforeItIsThere(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	rightsAt(t, at("data"))
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	if err := os.Mkdir(at("odd"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(at("odd/"+registerFile), 0o700); err != nil { // is there and cannot be read
		t.Fatal(err)
	}
	mustSay(t, said(t, 1, "restore", "--from", at("bk"), "--data", at("new"), "--replaces", at("odd")), "is no file")
	if _, err := os.Stat(at("new/" + registerFile)); err == nil {
		t.Error("a register is there whose rights could not be taken away")
	}
	mustSay(t, said(t, 0, "restore", "--from", at("bk"), "--data", at("new")), "3 phones and 2 links are kept shut")
	const warns = "Who was revoked since the backup cannot be known here"
	mustSay(t, said(t, 0, "devices", "--data", at("new"), "--confirm", "all"), "3 phones confirmed.", warns)
	if again := said(t, 0, "devices", "--data", at("new"), "--confirm", "all"); strings.Contains(again, warns) {
		t.Errorf("with nobody let in: %s", again)
	}
}

// A damaged register may have lost revocations: what is salvaged lets nobody in by itself.
func TestSalvageLetsNobodyIn(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	rightsAt(t, at("data"))
	said(t, 0, "devices", "--data", at("data"), "--revoke", "Bob")
	mustSay(t, said(t, 0, "restore", "--salvage", "--from", at("data"), "--data", at("new")),
		"2 phones and 2 links are kept shut, because a revocation may be among what was lost")
	list := said(t, 0, "devices", "--data", at("new"))
	if n := strings.Count(list, "kept shut since the restore of "); n != 2 || !strings.Contains(list, "no rights since ") {
		t.Errorf("the phones are listed as\n%s", list)
	}
}

// What came after the backup and is in the replaced register alone is named: it has to be done again.
func TestRestoreNamesWhatTheBackupLacks(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	rightsAt(t, at("data"))
	said(t, 0, "backup", "--data", at("data"), "--to", at("bk"))
	d, err := openDataDir(t.Context(), at("data"), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	stony, err := d.server.Property("Stony Block")
	if err != nil {
		t.Fatal(err)
	}
	for who, device := range map[string]string{"Dee": "d4-dee", "Eve": "d5-eve"} {
		code, _, err := d.server.InviteDevice(t.Context(), who, stony)
		if err != nil {
			t.Fatal(err)
		}
		asked := httptest.NewRequest(http.MethodPost, "/enrol", strings.NewReader(`{"code":"`+code+`","device":"`+device+`"}`))
		answer := httptest.NewRecorder()
		if d.server.Handler().ServeHTTP(answer, asked); answer.Code != http.StatusOK {
			t.Fatalf("%d %s", answer.Code, answer.Body)
		}
	}
	if _, err := d.server.Share(t.Context(), stony, "C. Grazier", time.Now().AddDate(0, 1, 0)); err != nil {
		t.Fatal(err)
	}
	if err := d.close(t.Context()); err != nil {
		t.Fatal(err)
	}
	takePoint(t, at("data"), "Stony Block")
	said(t, 0, "devices", "--data", at("data"), "--revoke", "Eve")
	text := said(t, 0, "restore", "--from", at("bk"), "--data", at("new"), "--replaces", at("data"))
	mustSay(t, text, "Only in "+at("data")+": the phone of Dee (row ", "enrol it again",
		"the link to Stony Block for C. Grazier (row 3 there)", "share it again", "the intake of points.csv into Stony Block on ", "take the file in again")
	if strings.Contains(text, "Eve") {
		t.Errorf("said %s", text)
	}
}
