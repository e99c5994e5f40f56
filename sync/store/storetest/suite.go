// Package storetest is the conformance suite of stores: every implementation of
// [store.Register] and [store.Photos] passes it. The checks take a [T], not a
// *testing.T, so that the suite itself can be tested on stores that break one promise.
//
// It tests promises to callers. Crashes, full disks and damaged files belong to the tests
// of each implementation.
package storetest

import (
	"context"
	"testing"

	"headcut/sync/store"
)

// T is what a check needs of a *testing.T.
type T interface {
	Helper()
	Logf(format string, args ...any)
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
	Context() context.Context
}

// Check is one promise, tried on an empty store.
type Check struct {
	Name string
	Run  func(t T, s store.Register)
}

// Checks lists every check of a register.
var Checks = []Check{
	{"numbers-and-chains", numbersAndChains},
	{"keeps-bytes", keepsBytes},
	{"sending-again", sendingAgain},
	{"same-id-other-content", sameIDOtherContent},
	{"cloned-device", clonedDevice},
	{"gaps-are-told", gapsAreTold},
	{"refusals-hold-nothing-back", refusalsHoldNothingBack},
	{"newer-versions-pass-through", newerVersionsPassThrough},
	{"clocks-are-told", clocksAreTold},
	{"properties-are-apart", propertiesAreApart},
	{"missing", missing},
	{"pages", pages},
	{"forks", forks},
	{"epochs", epochs},
	{"clash-and-strike", clashAndStrike},
	{"many-features", manyFeatures},
	{"some-features", someFeatures},
	{"watch", watch},
	{"readers-see-every-number", readersSeeEveryNumber},
	{"random-against-a-map", randomAgainstMap},
	{"snapshot-while-writing", snapshotWhileWriting},
	{"ended-contexts", endedContexts},
	{"closed", closed},
}

// Run runs every check on a store of its own; open makes an empty one and sees to its end.
func Run(t *testing.T, open func(t *testing.T) store.Register) {
	for _, c := range Checks {
		t.Run(c.Name, func(t *testing.T) { c.Run(t, open(t)) })
	}
}
