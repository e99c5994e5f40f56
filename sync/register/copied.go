package register

import "strings"

// A copy is an entry that an office wrote down for a device whose own entry it could not take as
// that device's: the device is to be believed only about what it seals or sends itself. A copy has a device id
// of its own, which names the device that it stands for, and the deviceSeq of the entry copied.
const (
	copyPrefix = "copy-"
	nonceBytes = 8
)

// IntakePrefix begins the device of every entry that was taken in from a file.
const IntakePrefix = "intake-"

// CopiedFrom is the device that a copy's id names, "" of any other id.
func CopiedFrom(device string) string {
	const at = len(copyPrefix) + nonceBytes
	if !strings.HasPrefix(device, copyPrefix) || len(device) <= at || device[at] != '-' {
		return ""
	}
	return device[at+1:]
}

// IsCopy tells whether an entry of this device is a copy.
func IsCopy(device string) bool { return strings.HasPrefix(device, copyPrefix) }
