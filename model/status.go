package model

// Status is how far a work has come.
type Status string

// The statuses of a work, in the order in which it usually passes them.
const (
	Proposed Status = "proposed" // chosen, nothing on the ground yet
	Pegged   Status = "pegged"   // surveyed and marked on the ground
	Built    Status = "built"
	Failed   Status = "failed" // built, and no longer doing its job
	Removed  Status = "removed"
)

// Statuses lists every status.
var Statuses = []Status{Proposed, Pegged, Built, Failed, Removed}

// DateField names the field that holds the day a work came to this status.
func (s Status) DateField() string { return string(s) + "On" }
