//go:build unix

package main

import (
	"io/fs"
	"syscall"
)

// ownerOf is the number of the user who owns a file.
func ownerOf(info fs.FileInfo) (user int, known bool) {
	if stat, ok := info.Sys().(*syscall.Stat_t); ok {
		return int(stat.Uid), true
	}
	return 0, false
}
