package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"headcut/server"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// TestSalvageListsWhatWasLost: a register with one broken entry and no tree any more gives all
// others, names the one that is lost, and keeps the photos.
func TestSalvageListsWhatWasLost(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	makeLarge(t, at("data"), 60)
	d, err := openDataDir(t.Context(), at("data"), slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	p, err := d.server.Property("Large")
	if err != nil {
		t.Fatal(err)
	}
	entries, _, err := d.store.EntriesAfter(t.Context(), p.ID, store.Position{}, 1000)
	if err != nil || len(entries) < 50 {
		t.Fatal(len(entries), err)
	}
	if err := d.close(t.Context()); err != nil {
		t.Fatal(err)
	}
	photo := []byte("the bytes of a photo")
	name := fmt.Sprintf("%x", sha256.Sum256(photo))
	write(t, at("data/photos/photo/"+name), photo)
	write(t, at("data/photos/received"), []byte(name+"\n"))

	mustSay(t, said(t, 0, "restore", "--salvage", "--from", at("data"), "--data", at("sound")), "Salvaged to ", fmt.Sprintf("Large: %d entries found\n", len(entries)), "names and rights: ", "Sound: ", "1 photo")

	file := read(t, at("data/"+registerFile))
	broken := entries[40].Raw
	if n := bytes.Count(file, broken); n == 0 {
		t.Fatal("the file has not got the entry")
	}
	file = bytes.ReplaceAll(file, broken, append([]byte("{"), bytes.Repeat([]byte("?"), len(broken)-1)...))
	rights, _, err := entriesOfOffice(t, at("sound"))
	if err != nil {
		t.Fatal(err)
	}
	file = bytes.ReplaceAll(file, rights, bytes.Repeat([]byte("?"), len(rights)))
	clear(file[:2*os.Getpagesize()]) // both meta pages: nothing leads to the tree
	write(t, at("data/"+registerFile), file)
	mustSay(t, said(t, 1, "restore", "--from", at("data"), "--data", at("new")), "is damaged, and nothing was restored", "--salvage")
	mustSay(t, said(t, 1, "restore", "--salvage", "--from", at("data"), "--data", at("new")),
		fmt.Sprintf("Salvaged 1 (its name was lost: rename it with 'headcut properties'): %d entries found, lost: entry 41; there may have been more after entry %d\n", len(entries)-1, len(entries)),
		"names and rights: 0 entries found, lost: entry 1; there may have been more after entry 1\n", "a phone, link or property that is not listed", "What was salvaged is whole: ", "1 photo", "entries were lost")
	if !bytes.Equal(read(t, at("data/"+registerFile)), file) {
		t.Error("the damaged register was changed")
	}
	mustSay(t, said(t, 0, "verify", "--data", at("new")), "Sound: ")
	said(t, 0, "export", "--data", at("new"), "--property", "Salvaged 1", "--out", at("new.geojson"))
	mustSay(t, said(t, 1, "restore", "--salvage", "--from", at("data"), "--data", at("new")), "has a register already")
	mustSay(t, said(t, 1, "restore", "--salvage", "--from", at("data"), "--data", at("data/x")), "lies within")
	if said := said(t, 2, "restore", "--salvage", "--photos", "--from", at("data"), "--data", at("y")); said == "" {
		t.Error("nothing was said of two ways at once")
	}
}

// entriesOfOffice gives the first entry of names and rights, and how many there are.
func entriesOfOffice(t *testing.T, data string) (first []byte, all int, err error) {
	t.Helper()
	s, err := boltstore.Open(filepath.Join(data, registerFile), boltstore.Options{})
	if err != nil {
		return nil, 0, err
	}
	defer s.Close()
	entries, _, err := s.EntriesAfter(t.Context(), server.OfficeRegister, store.Position{}, 1000)
	if err != nil || len(entries) < 1 {
		return nil, 0, fmt.Errorf("%d entries: %w", len(entries), err)
	}
	return entries[0].Raw, len(entries), nil
}

// TestSalvageOfWhatIsGone: of a register that is empty, noise or cut short nobody can tell what was
// in it. Salvage says so first, names what may be missing, and never ends as if nothing was lost.
func TestSalvageOfWhatIsGone(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	rightsAt(t, at("data"))
	takePoint(t, at("data"), "Stony Block")
	said(t, 0, "devices", "--data", at("data"), "--revoke", "Bob")
	whole := read(t, at("data/"+registerFile))
	noise := make([]byte, 40_000)
	rng := rand.NewChaCha8([32]byte{1})
	_, _ = rng.Read(noise)
	for name, c := range map[string]struct {
		file []byte
		says []string
	}{
		"empty": {nil, []string{"is empty.", "names and rights: nothing found"}},
		"noise": {noise, []string{"cannot be opened", "names and rights: nothing found"}},
		"cut":   {whole[:len(bytes.TrimRight(whole, "\x00"))*3/4], []string{"is cut short: it has ", "there may have been more after entry "}},
	} {
		t.Run(name, func(t *testing.T) {
			if err := os.Mkdir(at(name), 0o700); err != nil {
				t.Fatal(err)
			}
			write(t, at(name+"/"+registerFile), c.file)
			text := said(t, 1, "restore", "--salvage", "--from", at(name), "--data", at(name+"-new"))
			mustSay(t, text, append(c.says, "is not whole: ", "Whole properties may be missing", "a phone that was revoked", "entries were lost or may have been")...)
			if strings.Contains(text, "Sound") {
				t.Errorf("said %s", text)
			}
		})
	}
}
