package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"headcut/model"
	"headcut/server"
	"headcut/sync/store/boltstore"
	"headcut/viewer"
)

// The files of a data folder.
const (
	registerFile = "register.bolt"
	photoFolder  = "photos"
	socketFile   = "office.sock"
	markFile     = "data-folder.txt" // never in a backup
)

const markText = "This is a headcut data folder. Backups of it go to another folder: headcut backup --data DIR --to FOLDER\n"

// markDataDir marks what serve, demo and restore make, so that no backup is ever written over it.
func markDataDir(dir string) error {
	path := filepath.Join(dir, markFile)
	if _, err := os.Stat(path); err == nil {
		return nil
	}
	return os.WriteFile(path, []byte(markText), 0o600)
}

// dataDir is an opened data folder: the store, the server on it, and the admin API.
type dataDir struct {
	store  *boltstore.Store
	photos *boltstore.Photos
	log    *slog.Logger
	server *server.Server
	admin  *http.Server // nil: nobody else is let in
	at     net.Listener // of admin
}

// serveDataDir opens or makes a data folder to be served, and marks it as one.
func serveDataDir(ctx context.Context, dir string, log *slog.Logger) (*dataDir, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, err
	}
	if err := ownFolder(dir, os.Geteuid()); err != nil {
		return nil, err
	}
	d, err := openDataDir(ctx, dir, log)
	if err != nil {
		return nil, err
	}
	err = os.RemoveAll(filepath.Join(dir, unconfirmedFolder)) // of a restore that ended when its register was in place
	if err := errors.Join(err, markDataDir(dir)); err != nil {
		return nil, errors.Join(err, d.close(ctx))
	}
	return d, nil
}

// backupOpened refuses to open a backup as a data folder: what was revoked and withdrawn after it
// was taken would be let in again, and no later backup could take its place.
type backupOpened struct{ *model.Problem }

func (b backupOpened) Unwrap() error { return b.Problem }

func noBackup(s *boltstore.Store, dir string) error {
	backup, err := s.OfBackup()
	if err != nil || backup == nil {
		return err
	}
	p := backup.Problem()
	p.Path, p.Fix = "--data", "restore it into a folder of its own: headcut restore --from "+dir+" --data DIR"
	return backupOpened{p}
}

// copiedInPart refuses a folder in which a restore, or a copy of a register, was begun and never put
// the register in its place: a new register there would stand in the way of that one.
func copiedInPart(option, dir string) error {
	if _, err := os.Lstat(filepath.Join(dir, registerFile)); err == nil {
		return nil
	}
	if _, err := os.Lstat(filepath.Join(dir, unconfirmedFolder)); err == nil {
		return &model.Problem{Path: option, Reason: "the restore into " + dir + " is under way or was cut short, and there is no register yet",
			Fix: "wait until it is done; if it was cut short, run 'headcut restore' to the same folder again"}
	}
	parts, err := boltstore.Parts(filepath.Join(dir, registerFile))
	if err != nil || len(parts) == 0 {
		return err
	}
	return &model.Problem{Path: option, Reason: "the copy of a register into " + dir + " was cut short, and has no register yet",
		Fix: "if it is a backup, run 'headcut backup' to it again; if it was being restored, run 'headcut restore' again"}
}

// openDataDir opens or makes a data folder, which only one process can hold open. It refuses a
// backup.
func openDataDir(ctx context.Context, dir string, log *slog.Logger) (*dataDir, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, err
	}
	if err := copiedInPart("--data", dir); err != nil {
		return nil, err
	}
	s, err := boltstore.Open(filepath.Join(dir, registerFile), boltstore.Options{Now: time.Now})
	if err != nil {
		return nil, inFolder(dir, err)
	}
	if err := noBackup(s, dir); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	photos, err := boltstore.OpenPhotos(filepath.Join(dir, photoFolder))
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	if err := photos.KeepWhole(ctx); err != nil {
		return nil, inFolder(dir, errors.Join(err, s.Close()))
	}
	d, err := newDataDir(ctx, dir, s, photos, log)
	if err != nil {
		return nil, err
	}
	d.notePhotos()
	if ownFolder(dir, os.Geteuid()) != nil { // one command can do without other commands meanwhile
		return d, nil
	}
	if err := d.listen(ctx, dir); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return d, nil
}

// openDataDirReadOnly opens a data folder or a backup that can only be read, such as one on a medium
// that cannot be written. Nothing is made or changed there.
func openDataDirReadOnly(ctx context.Context, dir string, log *slog.Logger) (*dataDir, error) {
	s, err := boltstore.Open(filepath.Join(dir, registerFile), boltstore.Options{Now: time.Now, ReadOnly: true})
	if err != nil {
		return nil, inFolder(dir, err)
	}
	return newDataDir(ctx, dir, s, boltstore.PhotosReadOnly(filepath.Join(dir, photoFolder)), log)
}

// onlyReadable reports whether opening a folder failed because it cannot be written.
func onlyReadable(err error) bool {
	return errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS)
}

// newDataDir makes the server on a store, which it closes when it cannot.
func newDataDir(ctx context.Context, dir string, s *boltstore.Store, photos *boltstore.Photos, log *slog.Logger) (*dataDir, error) {
	audit := func(ctx context.Context, told func(string, uint64)) (any, error) {
		return boltstore.Audit(ctx, s, photos, told)
	}
	srv, err := server.New(ctx, server.Config{Folder: dir, Store: s, Photos: photos, Audit: audit, Pages: viewer.Pages(), Computations: viewer.Computations(), Log: log, Now: time.Now})
	if err != nil {
		return nil, inFolder(dir, errors.Join(err, s.Close()))
	}
	return &dataDir{store: s, photos: photos, log: log, server: srv}, nil
}

// listen lets the office's commands of other processes in.
func (d *dataDir) listen(ctx context.Context, dir string) error {
	listener, err := listenAtSocket(ctx, dir)
	if err != nil {
		return err
	}
	d.admin = &http.Server{Handler: d.server.Admin(), ReadHeaderTimeout: 10 * time.Second}
	d.at = listener
	go d.admin.Serve(listener)
	return nil
}

// close lets running requests end, for at most the time ctx gives, then closes the store.
func (d *dataDir) close(ctx context.Context) error {
	var err error
	if d.admin != nil {
		err = d.admin.Shutdown(ctx)
		_ = d.at.Close() // Serve may not have begun yet, and then Shutdown knows of no listener
	}
	err = errors.Join(err, d.server.Close(ctx))
	d.notePhotos()
	return errors.Join(err, d.store.Close())
}

// notePhotos keeps in the register how many photos came, so that a photo folder which is lost with
// its list is not taken for one whose photos never came. Where it cannot, as on a full disk, the
// number is an older one, and all else goes on.
func (d *dataDir) notePhotos() {
	if d.store.Stopped() != nil {
		return
	}
	if err := d.store.NotePhotos(d.photos); err != nil {
		d.log.Warn("how many photos came was not noted", "error", err)
	}
}

// startingAtMost is how long a command waits for a server that starts on a data folder: it has the
// register open before it answers.
const startingAtMost = 20 * time.Second

// office gives a client to the admin API of a data folder: of the server that runs on
// it, or else of one opened for this command alone. It refuses a folder without a register:
// only serve and demo make one. done must be called.
func office(ctx context.Context, dir string) (client *http.Client, done func() error, err error) {
	if err := mustExist(dir); err != nil {
		return nil, nil, err
	}
	log := slog.New(slog.DiscardHandler)
	var d *dataDir
	for began := time.Now(); ; {
		if client, err := running(dir); client != nil || err != nil {
			return client, func() error { return nil }, err
		}
		if d, err = openDataDir(ctx, dir, log); !errors.Is(err, boltstore.ErrInUse) {
			break
		}
		if ctx.Err() != nil || time.Since(began) > startingAtMost { // boltstore.Open has waited a second
			return nil, nil, &model.Problem{Path: "--data", Reason: "the register in " + dir + " is in use by another process, which answers no commands",
				Fix: "a server may be starting on it, or another command be at work: run this one again in a minute"}
		}
	}
	if _, backup := errors.AsType[backupOpened](err); backup || onlyReadable(err) {
		d, err = openDataDirReadOnly(ctx, dir, log)
	}
	if err != nil {
		return nil, nil, err
	}
	return &http.Client{Transport: direct{d.server.Admin()}}, func() error {
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		return d.close(ctx)
	}, nil
}

// ask asks the admin API of a data folder, as [server.Ask] does.
func ask(ctx context.Context, dir, method, path string, body io.Reader, answer any) error {
	client, done, err := office(ctx, dir)
	if err != nil {
		return err
	}
	defer done()
	return server.Ask(ctx, client, method, path, body, answer)
}

// post asks with a JSON body.
func post[Answer any](ctx context.Context, dir, path string, body any) (got Answer, err error) {
	raw, err := json.Marshal(body)
	if err != nil {
		return got, err
	}
	err = ask(ctx, dir, http.MethodPost, path, bytes.NewReader(raw), &got)
	return got, err
}

// mustExist refuses a folder that has no register.
func mustExist(dir string) error {
	if err := copiedInPart("--data", dir); err != nil {
		return err
	}
	if _, err := os.Stat(filepath.Join(dir, registerFile)); errors.Is(err, os.ErrNotExist) {
		return &model.Problem{Path: "--data", Reason: fmt.Sprintf("there is no register in %s", dir), Fix: "give the folder that 'headcut serve --data' uses; serve makes a new one"}
	} else if err != nil {
		return err
	}
	return nil
}
