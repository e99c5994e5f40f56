package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
)

// neighbour makes a file beside another that is to take its place. Only its owner can read it.
func neighbour(path string) (*os.File, error) {
	return os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".part-*")
}

// takePlace has a neighbour written, and puts it in place of the other file when it is whole, on the
// disk and found good. What was there before is kept until then.
func takePlace(half *os.File, path string, write func(io.Writer) error, good func(half string) error) error {
	defer os.Remove(half.Name()) // gone already when it was renamed
	if err := errors.Join(write(half), half.Sync(), half.Close()); err != nil {
		return err
	}
	if err := good(half.Name()); err != nil {
		return err
	}
	return os.Rename(half.Name(), path)
}
