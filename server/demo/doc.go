// Package demo makes up a cattle property, Sandalwood Run, and plays the days of the two
// people who look after its gully through real field devices and a real socket. Nobody's
// land, nobody's data: everything comes from numbers in this package and a fixed seed,
// so two fills differ only in ids and secrets. Tests of correctness never use it.
package demo
