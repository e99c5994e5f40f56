package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"syscall"

	"headcut/model"
)

// longestSocketPath is the most bytes that a system takes for the path of a socket: 103 on
// some, 107 on others.
const longestSocketPath = 100

// socketPath is where a data folder's socket is: always in the folder itself, which nobody else
// may write to.
func socketPath(dir string) string { return filepath.Join(dir, socketFile) }

// reach gives a path to a data folder's socket that is short enough for the system. done must
// be called when the path is not used any more.
func reach(dir string) (path string, done func(), err error) {
	path = socketPath(dir)
	if len(path) <= longestSocketPath {
		return path, func() {}, nil
	}
	folder, err := os.Open(dir)
	if err != nil {
		return "", nil, err
	}
	short := filepath.Join("/proc/self/fd", strconv.Itoa(int(folder.Fd())))
	if same, err := os.Stat(short); err == nil {
		if own, err := folder.Stat(); err == nil && os.SameFile(own, same) {
			return filepath.Join(short, socketFile), func() { _ = folder.Close() }, nil
		}
	}
	return "", nil, errors.Join(folder.Close(), &model.Problem{Path: "--data", Reason: fmt.Sprintf("the path of %s has %d bytes: too long on this system for the office's socket in it", dir, len(path)-len(socketFile)-1),
		Fix: fmt.Sprintf("use a folder whose whole path has at most %d bytes, or run the command within the folder with --data .", longestSocketPath-len(socketFile)-1)})
}

// trustedUsers are those who may be at the other end of a data folder's socket: this user; for
// root also whoever owns the register.
func trustedUsers(dir string) []int {
	users := []int{os.Geteuid()}
	if info, err := os.Stat(filepath.Join(dir, registerFile)); err == nil && users[0] == 0 {
		if owner, known := ownerOf(info); known {
			users = append(users, owner)
		}
	}
	return users
}

// ownerOf is the number of the user who owns a file.
func ownerOf(info fs.FileInfo) (user int, known bool) {
	if stat, ok := info.Sys().(*syscall.Stat_t); ok {
		return int(stat.Uid), true
	}
	return 0, false
}

// ownFolder refuses to this user a data folder in which others could put a socket or a register of theirs.
func ownFolder(dir string, me int) error {
	info, err := os.Stat(dir)
	if err != nil {
		return err
	}
	if owner, known := ownerOf(info); known && me != 0 && owner != me && owner != 0 {
		return &model.Problem{Path: "--data", Reason: fmt.Sprintf("%s belongs to another user (number %d)", dir, owner), Fix: "run the command as that user, or give the folder to the one who runs it: chown"}
	} else if known && info.Mode().Perm()&0o002 != 0 {
		return &model.Problem{Path: "--data", Reason: fmt.Sprintf("everybody on this computer may write to %s", dir), Fix: "take that from them: chmod 700 " + dir}
	}
	return nil
}

// checkSocket refuses what is no socket of a trusted user, a link to one too.
func checkSocket(path string, trusted []int) error {
	info, err := os.Lstat(path)
	if err != nil {
		return err
	}
	if info.Mode().Type() != fs.ModeSocket {
		return &model.Problem{Path: "--data", Reason: path + " is not a socket", Fix: "see who put it there, then remove it"}
	}
	if owner, known := ownerOf(info); known && !slices.Contains(trusted, owner) {
		return stranger(path, owner)
	}
	return nil
}

// checkPeer refuses a connection whose other end is not of a trusted user, as the system says.
func checkPeer(conn net.Conn, path string, trusted []int) error {
	user, known, err := peerOf(conn)
	if err != nil {
		return err
	}
	if known && !slices.Contains(trusted, user) {
		return stranger(path, user)
	}
	return nil
}

func stranger(path string, user int) error {
	return &model.Problem{Path: "--data", Reason: fmt.Sprintf("%s is of another user (number %d), and is not trusted", path, user),
		Fix: "run the command as the user who runs the server; if that is you, see who that is, stop it and remove the file"}
}

// listenAtSocket listens on a data folder's socket, to its trusted users and root. The store's lock
// is held, so a socket file found there was left by a process that is gone.
func listenAtSocket(ctx context.Context, dir string) (net.Listener, error) {
	path, done, err := reach(dir)
	if err != nil {
		return nil, err
	}
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		done()
		return nil, err
	}
	listening := net.ListenConfig{Control: privateFromBirth}
	listener, err := listening.Listen(ctx, "unix", path)
	if err != nil {
		done()
		return nil, fmt.Errorf("opening the office's socket: %w", err)
	}
	admin := &adminListener{Listener: listener, trusted: append(trustedUsers(dir), 0), done: sync.OnceFunc(done)}
	if err := os.Chmod(path, 0o600); err != nil {
		return nil, errors.Join(err, admin.Close())
	}
	return admin, nil
}

// adminListener closes connections of users who are not trusted.
type adminListener struct {
	net.Listener
	trusted []int
	done    func()
}

func (l *adminListener) Accept() (net.Conn, error) {
	for {
		conn, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		if checkPeer(conn, socketFile, l.trusted) == nil {
			return conn, nil
		}
		_ = conn.Close()
	}
}

func (l *adminListener) Close() error {
	err := l.Listener.Close() // removes the file, by the path that done closes
	l.done()
	return err
}

// dialSocket connects to whoever listens on a data folder's socket, if that is a trusted user.
func dialSocket(ctx context.Context, dir string, trusted []int) (net.Conn, error) {
	if err := checkSocket(socketPath(dir), trusted); err != nil {
		return nil, err
	}
	path, done, err := reach(dir)
	if err != nil {
		return nil, err
	}
	defer done()
	var d net.Dialer
	conn, err := d.DialContext(ctx, "unix", path)
	if err != nil {
		return nil, err
	}
	if err := checkPeer(conn, socketPath(dir), trusted); err != nil {
		return nil, errors.Join(err, conn.Close())
	}
	return conn, nil
}

// running gives a client to the server that runs on a data folder, nil when none does. A
// *model.Problem when somebody else is there.
func running(dir string) (*http.Client, error) {
	conn, err := dialSocket(context.Background(), dir, trustedUsers(dir))
	if problem, ok := errors.AsType[*model.Problem](err); ok {
		return nil, problem
	} else if err != nil {
		return nil, nil
	}
	_ = conn.Close()
	return socketClient(dir), nil
}

// notServed gives the problem when a server runs on a data folder.
func notServed(dir string, served *model.Problem) error {
	client, err := running(dir)
	if client != nil {
		client.CloseIdleConnections()
		return served
	}
	return err
}

// socketClient asks whoever listens on a data folder's socket.
func socketClient(dir string) *http.Client {
	return &http.Client{Transport: &http.Transport{
		DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
			return dialSocket(ctx, dir, trustedUsers(dir))
		},
	}}
}
