package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/server"
	"headcut/sync/store/boltstore"
)

// longFolder is a folder whose socket's path is too long for the system.
func longFolder(t *testing.T) string {
	return filepath.Join(t.TempDir(), strings.Repeat("a long name ", 8), "data")
}

func servedHere(t *testing.T, dir string) *dataDir {
	t.Helper()
	d, err := serveDataDir(t.Context(), dir, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = d.close(context.Background()) })
	return d
}

func mustRefuse(t *testing.T, what string, err error, words ...string) {
	t.Helper()
	p, ok := err.(*model.Problem)
	if !ok || p.Fix == "" {
		t.Errorf("%s: got %v, want a refusal in plain words", what, err)
		return
	}
	for _, word := range words {
		if !strings.Contains(p.Reason+" "+p.Fix, word) {
			t.Errorf("%s: the refusal does not say %q: %v", what, word, p)
		}
	}
}

// TestOwnFolder: a folder of this user, or of root, serves when no others may write to it; root may use anybody's.
func TestOwnFolder(t *testing.T) {
	dir := t.TempDir()
	info, err := os.Stat(dir)
	if err != nil {
		t.Fatal(err)
	}
	owner, known := ownerOf(info)
	if !known {
		return // this system does not say whose a folder is
	}
	if os.Geteuid() == 0 {
		owner = 4321
		if err := os.Chown(dir, owner, -1); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		me    int
		mode  os.FileMode
		wrong string
	}{
		{owner, 0o700, ""}, {owner, 0o755, ""}, {0, 0o700, ""},
		{owner + 1, 0o755, "belongs to another user"}, {owner + 1, 0o777, "belongs to another user"},
		{owner, 0o757, "everybody on this computer may write"}, {0, 0o777, "everybody on this computer may write"},
	} {
		if err := os.Chmod(dir, c.mode); err != nil {
			t.Fatal(err)
		}
		if err := ownFolder(dir, c.me); c.wrong != "" {
			mustRefuse(t, fmt.Sprintf("user %d in a folder %o of %d", c.me, c.mode, owner), err, c.wrong)
		} else if err != nil {
			t.Errorf("user %d in a folder %o of %d: %v", c.me, c.mode, owner, err)
		}
	}
	if err := os.Chmod(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	if os.Geteuid() == 0 { // one of root's serves everybody
		if err := os.Chown(dir, 0, -1); err != nil {
			t.Fatal(err)
		}
		if err := ownFolder(dir, 4321); err != nil {
			t.Errorf("in a folder of root's: %v", err)
		}
	}
}

// TestSocketOfALongPathIsInItsFolder: it works there, only its user can open it, and nothing
// is made or asked in the folder for temporary files.
func TestSocketOfALongPathIsInItsFolder(t *testing.T) {
	temporary, dir := t.TempDir(), longFolder(t)
	t.Setenv("TMPDIR", temporary)
	d := servedHere(t, dir)
	info, err := os.Lstat(socketPath(dir))
	if err != nil || info.Mode().Type() != os.ModeSocket || info.Mode().Perm() != 0o600 {
		t.Fatalf("the socket is not in its folder, for its user alone: %v %v", info, err)
	}
	client, done, err := office(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	var rows []server.DeviceRow
	if err := server.Ask(t.Context(), client, http.MethodGet, "/office/devices", nil, &rows); err != nil {
		t.Error(err)
	}
	if err := done(); err != nil {
		t.Error(err)
	}
	if err := d.close(t.Context()); err != nil {
		t.Error(err)
	}
	if _, err := os.Lstat(socketPath(dir)); !os.IsNotExist(err) {
		t.Errorf("the socket was left behind: %v", err)
	}
	if left, err := os.ReadDir(temporary); err != nil || len(left) > 0 {
		t.Errorf("found %v in the folder for temporary files (%v)", left, err)
	}
}

// TestOfficeAsksNobodyInATemporaryFolder: someone who listens where commands once looked for
// the socket of a long path is asked nothing.
func TestOfficeAsksNobodyInATemporaryFolder(t *testing.T) {
	temporary, dir := t.TempDir(), longFolder(t)
	t.Setenv("TMPDIR", temporary)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256([]byte(dir))
	asked := make(chan string, 8)
	impostor(t, filepath.Join(temporary, "headcut-"+hex.EncodeToString(sum[:8])+".sock"), asked)
	write(t, filepath.Join(dir, registerFile), nil)
	if client, done, err := office(t.Context(), dir); err == nil {
		var rows []server.DeviceRow
		_ = server.Ask(t.Context(), client, http.MethodGet, "/office/devices", nil, &rows)
		_ = done()
	}
	if len(asked) > 0 {
		t.Errorf("somebody else was asked %s", <-asked)
	}
}

// impostor answers on a socket that is not the server's.
func impostor(t *testing.T, path string, asked chan<- string) {
	t.Helper()
	listener, err := net.Listen("unix", path)
	if err != nil {
		t.Fatal(err)
	}
	s := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked <- r.URL.Path
		_, _ = io.WriteString(w, "[]")
	})}
	go s.Serve(listener)
	t.Cleanup(func() { _ = s.Close() })
}

// TestOnlyTrustedUsersAtTheSocket, whichever side they are on.
func TestOnlyTrustedUsersAtTheSocket(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	servedHere(t, dir)
	me := os.Geteuid()
	conn, err := dialSocket(t.Context(), dir, []int{me})
	if err != nil {
		t.Fatalf("the user's own: %v", err)
	}
	defer conn.Close()
	mustRefuse(t, "a file of another user", checkSocket(socketPath(dir), []int{me + 1}), "another user", "stop it and remove")
	mustRefuse(t, "a listener of another user", checkPeer(conn, socketPath(dir), []int{me + 1}), "another user")

	own, err := net.Listen("unix", filepath.Join(t.TempDir(), "s"))
	if err != nil {
		t.Fatal(err)
	}
	admin := &adminListener{Listener: own, trusted: []int{me + 1}, done: func() {}}
	defer admin.Close()
	go admin.Accept()
	caller, err := net.Dial("unix", own.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer caller.Close()
	if n, err := caller.Read(make([]byte, 1)); n != 0 || err == nil {
		t.Error("a caller of another user was not hung up on")
	}
}

// TestSocketThatIsNone: a link to somebody's socket, or a file in its place, is not followed.
func TestSocketThatIsNone(t *testing.T) {
	dir, elsewhere := t.TempDir(), filepath.Join(t.TempDir(), "s")
	write(t, filepath.Join(dir, registerFile), nil)
	asked := make(chan string, 8)
	impostor(t, elsewhere, asked)
	if err := os.Symlink(elsewhere, socketPath(dir)); err != nil {
		t.Fatal(err)
	}
	_, _, err := office(t.Context(), dir)
	mustRefuse(t, "a link", err, "not a socket", "remove it")
	if err := os.Remove(socketPath(dir)); err != nil {
		t.Fatal(err)
	}
	write(t, socketPath(dir), []byte("x"))
	_, _, err = office(t.Context(), dir)
	mustRefuse(t, "a file", err, "not a socket")
}

// TestFolderOfEverybodyIsNotServed: there anybody could put another socket or register.
func TestFolderOfEverybodyIsNotServed(t *testing.T) {
	for _, mode := range []os.FileMode{0o777, 0o777 | os.ModeSticky, 0o702} {
		dir := t.TempDir()
		if err := os.Chmod(dir, mode); err != nil {
			t.Fatal(err)
		}
		d, err := serveDataDir(t.Context(), dir, slog.New(slog.DiscardHandler))
		mustRefuse(t, mode.String(), err, "everybody", "chmod 700")
		if err == nil {
			_ = d.close(t.Context())
		}
		if made, _ := os.ReadDir(dir); len(made) > 0 {
			t.Errorf("%s: something was made there: %v", mode, made)
		}
	}
}

// TestCommandWaitsForAServerThatStarts: a server has the register open before it answers commands. One
// that is given meanwhile waits for it.
func TestCommandWaitsForAServerThatStarts(t *testing.T) {
	dir := t.TempDir()
	d, err := openDataDir(t.Context(), dir, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	if err := d.close(t.Context()); err != nil {
		t.Fatal(err)
	}
	starting, err := boltstore.LockRegister(filepath.Join(dir, registerFile))
	if err != nil {
		t.Fatal(err)
	}
	go func() {
		time.Sleep(1500 * time.Millisecond) // longer than one try
		_ = starting.Release()
	}()
	var out bytes.Buffer
	if status := run(t.Context(), []string{"devices", "--data", dir}, strings.NewReader(""), &out, &out); status != 0 {
		t.Errorf("the command ends with %d: %s", status, &out)
	}
}
