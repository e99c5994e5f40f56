package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"headcut/server"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// TestSystemErrorsInPlainWords: what a system or a store says is told with where it is and what
// to do.
func TestSystemErrorsInPlainWords(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "notes.md")
	if err := os.WriteFile(file, []byte("notes"), 0o600); err != nil {
		t.Fatal(err)
	}
	within := filepath.Join(file, registerFile)
	_, notFolder := os.Stat(within)
	for name, c := range map[string]struct {
		err  error
		want string // with %s for the folder
	}{
		"full disk":       {&os.PathError{Op: "write", Path: filepath.Join(dir, "x.part-1"), Err: syscall.ENOSPC}, "the disk that %s is on is full\n  make room on it"},
		"full for photos": {fmt.Errorf("%w (%w)", store.ErrFull, &os.PathError{Op: "write", Path: filepath.Join(dir, "x"), Err: syscall.ENOSPC}), "the disk that %s is on is full\n"},
		"renamed on full": {&os.LinkError{Op: "rename", Old: "a", New: filepath.Join(dir, "b"), Err: syscall.EDQUOT}, "the disk that %s is on is full\n"},
		"read-only":       {&os.PathError{Op: "open", Path: dir, Err: syscall.EROFS}, "%s cannot be written: its disk can only be read\n  give a folder"},
		"no permission":   {&os.PathError{Op: "mkdir", Path: dir, Err: syscall.EACCES}, "this user may not read or write %s\n  run the command as"},
		"file for folder": {notFolder, "%s/notes.md is a file, not a folder\n  give a folder"},
		"damaged":         {inFolder(dir, fmt.Errorf("%w: page 29 has keys out of order", store.ErrDamaged)), "the register in %s is damaged (page 29 has keys out of order)\n  stop the server on it"},
	} {
		t.Run(name, func(t *testing.T) {
			want := strings.ReplaceAll(c.want, "%s", dir)
			if got := problemText(c.err); !strings.HasPrefix(got, want) || strings.Contains(got, "send it again") {
				t.Errorf("told %q, want %q", got, want)
			}
		})
	}
	if err := inFolder(dir, store.ErrDamaged); !errors.Is(err, store.ErrDamaged) {
		t.Errorf("%v is no store.ErrDamaged any more", err)
	}
}

// TestExportToFullDisk: a full disk of whoever asks is not told as a server that ended, by a
// server that runs nor without one.
func TestExportToFullDisk(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err) // Linux has it
	}
	defer full.Close()
	dir := t.TempDir()
	var out, fault bytes.Buffer
	gpx := filepath.Join(dir, "p.gpx")
	if err := os.WriteFile(gpx, []byte(`<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1"><wpt lat="-19.1" lon="144.2"/></gpx>`), 0o600); err != nil {
		t.Fatal(err)
	}
	data := filepath.Join(dir, "d")
	d, err := openDataDir(t.Context(), data, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	if code := run(t.Context(), []string{"intake", "--data", data, "--property", "Saltbush Flat", gpx}, nil, &out, &fault); code != 0 {
		t.Fatal(fault.String())
	}
	refused := func(how string) {
		client, done, err := office(t.Context(), data)
		if err != nil {
			t.Fatal(err)
		}
		defer done()
		err = server.Ask(t.Context(), client, http.MethodGet, "/office/export?format=geojson&property=Saltbush+Flat", nil, full)
		if !errors.Is(err, syscall.ENOSPC) || !strings.Contains(problemText(err), "is full") {
			t.Errorf("%s: %v", how, err)
		}
	}
	refused("served")
	if err := d.close(context.Background()); err != nil {
		t.Fatal(err)
	}
	refused("not served")
}

// TestDamagedRegisterInPlainWords: every command names the folder and the way out.
func TestDamagedRegisterInPlainWords(t *testing.T) {
	data := filepath.Join(t.TempDir(), "d")
	d, err := openDataDir(t.Context(), data, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	if err := d.close(context.Background()); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(data, registerFile)
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, meta := range []int{0, 4096} {
		for i := range 64 {
			raw[meta+16+i] ^= 0xff
		}
	}
	if err := os.WriteFile(path, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := boltstore.Open(path, boltstore.Options{}); !errors.Is(err, store.ErrDamaged) {
		t.Fatalf("the register is not damaged: %v", err)
	}
	for _, args := range [][]string{{"verify"}, {"devices"}, {"properties"}, {"backup", "--to", filepath.Join(t.TempDir(), "b")}, {"serve", "--listen", "127.0.0.1:0"}} {
		var out, fault bytes.Buffer
		code := run(t.Context(), append(args, "--data", data), nil, &out, &fault)
		if said := fault.String(); code != 1 || !strings.Contains(said, "the register in "+data+" is damaged (") || !strings.Contains(said, "restore --salvage --from "+data) {
			t.Errorf("headcut %s: %d %s", args[0], code, said)
		}
	}
}

// TestAddressAndCertificateInPlainWords: what serve cannot use is said in other words than the system's.
func TestAddressAndCertificateInPlainWords(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	junk := filepath.Join(t.TempDir(), "junk.pem")
	if err := os.WriteFile(junk, []byte("junk"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--listen", "8080"}, `"8080" is not an address with a port`},
		{[]string{"--listen", taken.Addr().String()}, "another process listens at " + taken.Addr().String()},
		{[]string{"--listen", "127.0.0.1:99999"}, "there is no address 127.0.0.1:99999"},
		{[]string{"--listen", "127.0.0.1:0", "--cert", junk, "--key", junk}, "no certificate with its key"},
		{[]string{"--listen", "127.0.0.1:0", "--cert", junk + "x", "--key", junk}, "there is no " + junk + "x"},
	} {
		var out bytes.Buffer
		status := run(t.Context(), append([]string{"serve", "--data", t.TempDir()}, c.args...), strings.NewReader(""), &out, &out)
		if said := out.String(); status == 0 || !strings.Contains(said, c.want) || strings.Contains(said, "tcp") || strings.Contains(said, "tls:") || strings.Contains(said, "open /") {
			t.Errorf("serve %v: %d %s, want %q", c.args, status, said, c.want)
		}
	}
}
