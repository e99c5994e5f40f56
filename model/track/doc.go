// Package track spaces whoa-boys across tracks and fence lines, chooses where their water
// goes, and checks those that are there. A whoa-boy is a low bank that turns the water
// running along a track out to one side, where it does no harm.
//
// A Track is a surveyed profile; Slopes divides it where its water parts and gathers; a
// Rule is one column of one published spacing table, never a blend of several; Outlets
// says on which side water may leave. Layout sets banks out along all of them, Check goes
// from bank to bank.
//
// It designs no road, culvert or crossing, and knows nothing of the ground beside the
// track but what the officer says of it.
package track
