// Package banks lays out graded banks and checks those that are there. A graded bank is a
// low bank of earth across a slope, with a channel on its upper side that falls gently to a
// safe outlet: a contour bank that breaks up a long slope, or a diversion bank that keeps
// water off a gully head.
//
// A Rule spaces banks; a Line is the channel's fall to its Outlet, pegged with level and
// staff; a Channel carries water between the bank's face and the slope above; a Shape is the
// earth. Layout puts them together, Check goes along a bank that was levelled.
//
// Three heights stay apart all along: the depth of the water, the height of the bank once it
// has settled, and the height to build.
//
// It designs no outlet, waterway, spreader, chute or pond, and knows nothing of the ground but
// its slope.
package banks
