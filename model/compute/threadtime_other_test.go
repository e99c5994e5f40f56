//go:build !linux

package compute

import "time"

var started = time.Now()

// threadTime is the time gone by, where no thread's processor time can be asked for.
func threadTime() time.Duration { return time.Since(started) }
