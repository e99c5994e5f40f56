// Package planning goes from the register to a computation's input, and from its answer to proposed
// works. Survey takes the features of a property; Draft builds the input of a computation, as of
// dam-layout or rip-area, from what was recorded of a gully, a track, a gully head, a slope or a paddock;
// Adopt makes of an answer the features to write down, and Changed tells what of an adopted plan's base
// is another since. Order is what to do first on the whole property.
//
// It has no arithmetic of its own: a Draft's Input is what compute.Run takes, and gives the answer
// that the same input gives when somebody types it. What the officer gives beside (Request.Given) are
// fields of that input, in its words; a few of a plan's own, as how far apart lines are wanted, shape what
// it puts there.
//
// # What a draft is made of
//
// Each figure comes from features that the Draft names with the version the register has of them. The
// levels of a bed or track are those of one run: the newest that closes, unless the request names
// another. Runs of several years are never mixed, as a bed moves. What was left out stands there with
// the reason, what is missing with what to measure. Where levels of one day contradict each other, two
// people changed what counts differently, or nobody knows where a standing dam stands, the draft is
// refused and has no input.
//
// A line on a slope counts as on the contour where its own pegs of one closed run prove it from end to end;
// one that is planned between two of those has a level to be pegged at, and is not levelled.
//
// # What is written down
//
// A work stays one feature from proposal to ruin. So a planned work that lies where one is proposed
// already becomes an edit of that one, and pegged and built works are never touched: what differs is
// said. Works are pegged in the run that their plan rests on: levels that are added at pegs change no
// plan, as long as those it was made from stand. Nothing is struck out. Ids follow from the plan's
// content, and a plan's from its input and from the versions it rests on, so that adopting twice changes
// nothing.
//
// The package knows no entries and no store. The phone's program has it too.
package planning
