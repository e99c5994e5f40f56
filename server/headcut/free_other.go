//go:build !linux && !darwin

package main

// freeBytes is not known here.
func freeBytes(string) (bytes int64, known bool) { return 0, false }
