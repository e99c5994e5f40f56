//go:build linux || darwin

package main

import "syscall"

// freeBytes is what the disk of a folder has left for this server.
func freeBytes(dir string) (bytes int64, known bool) {
	var stat syscall.Statfs_t
	if err := syscall.Statfs(dir, &stat); err != nil {
		return 0, false
	}
	return int64(stat.Bavail) * int64(stat.Bsize), true
}
