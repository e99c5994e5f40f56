//go:build linux

package compute

import (
	"syscall"
	"time"
)

// threadTime is the processor time of this thread, which other work on the machine leaves alone.
func threadTime() time.Duration {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_THREAD, &u)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
