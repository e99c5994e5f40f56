package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"headcut/model"
	"headcut/server"
	"headcut/sync/store"
)

// inFolder names the folder of a damaged register. Other errors stay as they are.
func inFolder(dir string, err error) error {
	if _, known := errors.AsType[*damagedRegister](err); known || !errors.Is(err, store.ErrDamaged) {
		return err
	}
	return &damagedRegister{server.DamagedRegister(dir, err), err}
}

// damagedRegister is a store.ErrDamaged of the register in a folder.
type damagedRegister struct {
	*model.Problem
	err error
}

// Unwrap is for errors.Is.
func (d *damagedRegister) Unwrap() []error { return []error{d.Problem, d.err} }

// plainly words an error of the register or of the system as a Problem: where, and what to do. Nil
// when it is none that this knows.
func plainly(err error) *model.Problem {
	if p, ok := errors.AsType[*model.Problem](err); ok {
		return p
	}
	path, folder := pathOf(err)
	full := errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT)
	switch {
	case full && path != "":
		return &model.Problem{Reason: "the disk that " + folder + " is on is full", Fix: "make room on it, or give a folder on another disk, and run the command again: what was there before is as it was"}
	case full || errors.Is(err, store.ErrFull):
		return &model.Problem{Reason: "the disk is full (" + err.Error() + ")", Fix: "make room on it and run the command again"}
	case path == "":
		return nil
	case errors.Is(err, syscall.EROFS):
		return &model.Problem{Reason: path + " cannot be written: its disk can only be read", Fix: "give a folder on a disk that can be written, or have this one made writable"}
	case errors.Is(err, fs.ErrPermission):
		return &model.Problem{Reason: "this user may not read or write " + path, Fix: "run the command as the user whom the folder belongs to, or give the folder to the user who runs it: chown"}
	case errors.Is(err, syscall.ENOTDIR):
		return &model.Problem{Reason: fileIn(path) + " is a file, not a folder", Fix: "give a folder"}
	case errors.Is(err, fs.ErrNotExist):
		return &model.Problem{Reason: "there is no " + path, Fix: "check how it is written"}
	case errors.Is(err, syscall.EIO):
		return &model.Problem{Reason: "the disk that " + folder + " is on fails (" + err.Error() + ")", Fix: "copy what can still be read to another disk at once, and restore the last backup there: headcut help restore"}
	}
	return nil
}

// cannotListen words why no server can listen at an address.
func cannotListen(at string, err error) *model.Problem {
	p := &model.Problem{Path: "--listen", Reason: "there is no address " + at + " on this machine", Fix: "write it as 127.0.0.1:8080, with an address of this machine and a port from 1 to 65535"}
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		p.Reason, p.Fix = "another process listens at "+at+" already", "stop that one, or choose another port"
	case errors.Is(err, fs.ErrPermission):
		p.Reason, p.Fix = "this user may not listen at "+at, "choose a port above 1023, or let the system give the right to lower ones"
	}
	return p
}

// cannotUse words why a certificate and its key cannot be used.
func cannotUse(err error) *model.Problem {
	if p := plainly(err); p != nil {
		return p.Within("--cert")
	}
	return &model.Problem{Path: "--cert", Reason: "the two files are no certificate with its key", Fix: "give both files as PEM, and the key that belongs to the certificate"}
}

// pathOf is what a system's error is about, and the folder that it is in or is itself; "" when it
// does not say.
func pathOf(err error) (path, folder string) {
	if at, ok := errors.AsType[*fs.PathError](err); ok {
		path = at.Path
	} else if at, ok := errors.AsType[*os.LinkError](err); ok {
		path = at.New
	} else {
		return "", ""
	}
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return path, path
	}
	folder = filepath.Dir(path)
	for folder != filepath.Dir(folder) { // what the command made is gone by now
		if _, err := os.Stat(folder); err == nil {
			break
		}
		folder = filepath.Dir(folder)
	}
	return path, folder
}

// fileIn is the part of a path that is a file where a folder should be.
func fileIn(path string) string {
	for at := path; ; at = filepath.Dir(at) {
		if info, err := os.Stat(at); err == nil && !info.IsDir() {
			return at
		} else if at == filepath.Dir(at) {
			return path
		}
	}
}
