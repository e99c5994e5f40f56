package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
)

// writePrivate writes a file that only its owner can read, through a neighbour that takes
// its place when it is whole, on the disk and found good. Whatever stood there before is kept
// until then.
func writePrivate(path string, write func(io.Writer) error, good func(path string) error) error {
	half, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".part-*") // mode 0600
	if err != nil {
		return err
	}
	defer os.Remove(half.Name()) // gone already when it was renamed
	if err := errors.Join(write(half), half.Sync(), half.Close()); err != nil {
		return err
	}
	if err := good(half.Name()); err != nil {
		return err
	}
	return os.Rename(half.Name(), path)
}
