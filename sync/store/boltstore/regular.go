package boltstore

import (
	"os"

	"headcut/model"
)

// notRegular says that what stands at a path is no file.
type notRegular struct{ *model.Problem }

// Unwrap is for errors.As.
func (n notRegular) Unwrap() error { return n.Problem }

// openRegular opens a file to be read. A pipe or a device in its place is refused: a pipe would be
// waited for without end, and a device may have no end.
func openRegular(path string) (*os.File, error) {
	at, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !at.Mode().IsRegular() {
		return nil, notRegular{&model.Problem{Reason: path + " is no file, but a folder, a pipe or a device", Fix: "look who put it there; if this is a backup, use another one"}}
	}
	return os.Open(path)
}
