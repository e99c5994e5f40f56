// Package section holds the profile of a gully's bed: where along it something stands
// (chainage), how high the bed is there, and how it climbs. Chainage runs upstream, in
// metres, from the downstream end of the thalweg; levels are metres on the datum of the
// run that measured them, so only their differences mean anything here.
//
// It places nothing on the bed: dams are the business of package works, level books of
// package levelling.
package section
