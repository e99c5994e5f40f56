package main

import (
	"bytes"
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// said runs a command and gives what it said, on both outputs.
func said(t *testing.T, want int, args ...string) string {
	t.Helper()
	var out bytes.Buffer
	if got := run(context.Background(), args, nil, &out, &out); got != want {
		t.Fatalf("headcut %v ended with %d, want %d:\n%.4000s", args, got, want, out.String())
	}
	return out.String()
}

func mustSay(t *testing.T, text string, parts ...string) {
	t.Helper()
	for _, part := range parts {
		if !strings.Contains(text, part) {
			t.Errorf("said %q, want %q in it", text, part)
		}
	}
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func write(t *testing.T, path string, text []byte) {
	t.Helper()
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
}

// takePoint takes in a file of one waypoint.
func takePoint(t *testing.T, data, property string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "points.csv")
	write(t, path, []byte("name,kind,latitude,longitude\nA,photo-point,-23.1,148.2\n"))
	said(t, 0, "intake", "--data", data, "--property", property, path)
}

// TestBackupKeepsWhatTheTargetHas: whatever has an entry that the data folder lacks, or is a
// data folder, is not written over; earlier backups are.
func TestBackupKeepsWhatTheTargetHas(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	makeLarge(t, at("office"), 3)
	makeLarge(t, at("other"), 3)
	said(t, 0, "backup", "--data", at("office"), "--to", at("bk"))
	mustSay(t, said(t, 1, "restore", "--from", at("bk"), "--data", at("bk/x")), "lies within the backup", "give a folder elsewhere")
	mustSay(t, said(t, 1, "restore", "--from", at("bk"), "--data", at("")), "contains the backup")
	if _, err := os.Stat(at("bk/x")); err == nil {
		t.Error("a refused restore made a folder")
	}
	said(t, 0, "restore", "--from", at("bk"), "--data", at("restored"))
	takePoint(t, at("office"), "New Block")
	takePoint(t, at("restored"), "Elsewhere")

	for _, c := range []struct {
		name, from, to string
		says           []string
	}{
		{"the two swapped", "bk", "office", []string{"entries that the data folder lacks", "turn them round"}},
		{"another register", "office", "other", []string{"another register", "give a new folder"}},
		{"a restored folder", "office", "restored", []string{"is a data folder, no backup"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := read(t, at(c.to+"/register.bolt"))
			mustSay(t, said(t, 1, "backup", "--data", at(c.from), "--to", at(c.to)), c.says...)
			if !bytes.Equal(read(t, at(c.to+"/register.bolt")), before) {
				t.Error("the register was changed")
			}
			if parts, _ := filepath.Glob(at(c.to + "/*.part-*")); len(parts) > 0 {
				t.Errorf("left %v", parts)
			}
		})
	}
	// An earlier backup stays a target after somebody has looked into it.
	said(t, 0, "properties", "--data", at("bk"))
	said(t, 0, "backup", "--data", at("office"), "--to", at("bk"))
	// What was restored from an older one went another way: the newer backup stays.
	mustSay(t, said(t, 1, "backup", "--data", at("restored"), "--to", at("bk")), "entries that the data folder lacks")
	said(t, 0, "backup", "--data", at("restored"), "--to", at("bk2"))
	said(t, 0, "backup", "--data", at("restored"), "--to", at("bk2"))
}

// TestBackupKeepsADamagedRegister: nobody can tell what it has.
func TestBackupKeepsADamagedRegister(t *testing.T) {
	dir := t.TempDir()
	data, to := filepath.Join(dir, "office"), filepath.Join(dir, "bk")
	makeLarge(t, data, 3)
	said(t, 0, "backup", "--data", data, "--to", to)
	cut := read(t, to+"/register.bolt")[:9000]
	write(t, to+"/register.bolt", cut)
	mustSay(t, said(t, 0, "backup", "--data", data, "--to", to), "is damaged; it is kept as", "Sound: ")
	kept, _ := filepath.Glob(to + "/register.bolt.damaged-*")
	if len(kept) != 1 || !bytes.Equal(read(t, kept[0]), cut) {
		t.Errorf("the damaged register was not kept: %v", kept)
	}
	said(t, 0, "backup", "--data", data, "--to", to)
}

// TestBackupRefusesWhatIsInUse, at once and without a change.
func TestBackupRefusesWhatIsInUse(t *testing.T) {
	dir := t.TempDir()
	data, to := filepath.Join(dir, "office"), filepath.Join(dir, "live")
	makeLarge(t, data, 3)
	if err := os.Mkdir(to, 0o700); err != nil {
		t.Fatal(err)
	}
	write(t, to+"/register.bolt", read(t, data+"/register.bolt")) // as a backup of an earlier version, without a mark
	d, err := openDataDir(t.Context(), to, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	defer d.close(context.Background())
	before, err := os.Stat(to + "/register.bolt")
	if err != nil {
		t.Fatal(err)
	}
	mustSay(t, said(t, 1, "backup", "--data", data, "--to", to), "is in use", "turn them round")
	if err := os.Remove(socketPath(to)); err != nil { // a server that cannot be asked holds its lock
		t.Fatal(err)
	}
	mustSay(t, said(t, 1, "backup", "--data", data, "--to", to), "is in use")
	if after, err := os.Stat(to + "/register.bolt"); err != nil || !os.SameFile(before, after) {
		t.Errorf("the register was replaced under its server (%v)", err)
	}
}

// TestVerifyEndsWhenTheRegisterWasReplaced under the server that runs on it.
func TestVerifyEndsWhenTheRegisterWasReplaced(t *testing.T) {
	data := filepath.Join(t.TempDir(), "office")
	makeLarge(t, data, 3)
	copied := read(t, data+"/register.bolt")
	d, err := openDataDir(t.Context(), data, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	defer d.close(context.Background())
	takePoint(t, data, "New Block") // two commits and more, so that the other file has none of now
	takePoint(t, data, "Another Block")
	write(t, data+"/another", copied)
	if err := os.Rename(data+"/another", data+"/register.bolt"); err != nil {
		t.Fatal(err)
	}
	mustSay(t, said(t, 1, "verify", "--data", data), "was moved or replaced while it was open", "stop the server")
}

// TestBackupWithinTheDataFolder is refused, however the folder is named.
func TestBackupWithinTheDataFolder(t *testing.T) {
	dir := t.TempDir()
	data := filepath.Join(dir, "office")
	makeLarge(t, data, 3)
	if err := os.Symlink(data, dir+"/link"); err != nil {
		t.Fatal(err)
	}
	for _, to := range []string{data + "/inside", data + "/a/b", dir + "/link/inside", data + "/photos"} {
		mustSay(t, said(t, 1, "backup", "--data", data, "--to", to), "is within the data folder", "give a folder elsewhere")
		if _, err := os.Stat(to + "/register.bolt"); err == nil {
			t.Errorf("%s was made", to)
		}
	}
}

// TestBackupClearsWhatWasCutShort leaves no part of an earlier one.
func TestBackupClearsWhatWasCutShort(t *testing.T) {
	dir := t.TempDir()
	data, to := filepath.Join(dir, "office"), filepath.Join(dir, "bk [1]")
	makeLarge(t, data, 3)
	said(t, 0, "backup", "--data", data, "--to", to)
	write(t, to+"/register.bolt.part-123", []byte("half"))
	write(t, to+"/photos/mended-123", []byte("half a photo"))
	unlock, err := syscall.Open(to, syscall.O_RDONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	if err := syscall.Flock(unlock, syscall.LOCK_EX); err != nil {
		t.Fatal(err)
	}
	mustSay(t, said(t, 1, "backup", "--data", data, "--to", to), "another backup or restore is writing to")
	if _, err := os.Stat(to + "/register.bolt.part-123"); err != nil {
		t.Errorf("the part of a backup that runs is gone: %v", err)
	}
	if err := syscall.Close(unlock); err != nil {
		t.Fatal(err)
	}
	said(t, 0, "backup", "--data", data, "--to", to)
	for _, part := range []string{"/register.bolt.part-123", "/photos/mended-123"} {
		if _, err := os.Stat(to + part); err == nil {
			t.Errorf("%s is still there", part)
		}
	}
}

// TestRestoreOfADamagedBackup names the backup and leaves nothing.
func TestRestoreOfADamagedBackup(t *testing.T) {
	dir := t.TempDir()
	data, bk := filepath.Join(dir, "office"), filepath.Join(dir, "bk")
	makeLarge(t, data, 3)
	said(t, 0, "backup", "--data", data, "--to", bk)
	write(t, bk+"/register.bolt", read(t, bk+"/register.bolt")[:9000])
	if err := os.Mkdir(dir+"/empty", 0o700); err != nil {
		t.Fatal(err)
	}
	for _, to := range []string{dir + "/new", dir + "/empty"} {
		text := said(t, 1, "restore", "--from", bk, "--data", to)
		mustSay(t, text, "the backup in "+bk+" is damaged", "nothing was restored", bk+"/register.bolt is cut short", "restore from an earlier backup")
		if strings.Contains(text, ".part-") {
			t.Errorf("said %s", text)
		}
	}
	if _, err := os.Stat(dir + "/new"); err == nil {
		t.Error("a folder was left")
	}
	if held, err := os.ReadDir(dir + "/empty"); err != nil || len(held) > 0 {
		t.Errorf("the folder has %v (%v)", held, err)
	}
}

// TestIntakeRefusesWhatNeverEnds: a pipe would be waited for without end.
func TestIntakeRefusesWhatNeverEnds(t *testing.T) {
	dir := t.TempDir()
	data, pipe := filepath.Join(dir, "office"), filepath.Join(dir, "points.csv")
	makeLarge(t, data, 3)
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat("/proc/self/mem"); err == nil { // a file that gives an error when it is read
		text := said(t, 1, "intake", "--data", data, "--property", "Large", "/proc/self/mem")
		if mustSay(t, text, "could not be read to its end", "copy it to another disk"); strings.Contains(text, "the server") {
			t.Errorf("said %q, of a server that lives", text)
		}
	}
	mustSay(t, said(t, 1, "intake", "--data", data, "--property", "Large", pipe+"-not"), "refused whole: there is no such file", "check its name and its folder")
	mustSay(t, said(t, 1, "intake", "--data", data, "--property", "Large", pipe), "is a pipe or device", "save what it gives to a file")
	mustSay(t, said(t, 1, "intake", "--data", data, "--property", "Large", dir), "is a folder")
}
