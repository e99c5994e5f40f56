// Package model holds what is said of eroding grazing land and its repair: the
// kinds of features and their fields, the figures worked out from them, the cautions
// that go with a figure, and the sources of every rule. Its sub-packages compute:
// geodesy lengths and areas, mapgrid map coordinates, levelling the level book, section the
// profile of a gully, works what is built and track its banks, runoff the water, monitor
// and soilloss how land and works change, grazing how long its feed lasts, treatment which work
// fits, figures a whole property; statistics says how good a figure is; compute is the one way to
// all of them, and planning goes from the register to it and back.
//
// A measured field names in Basis the field that says how it was measured. A choice or label that is
// renamed keeps its older word in Was: entries are never rewritten, and reading maps them. Heights of
// a GPS are fields and never part of a geometry, so that nothing takes them for levels. Settings that
// computations need are one feature a property, of the kind "settings" and with the id [SettingsID]:
// on no map and in no landholder's data; exports list it among the records without a place.
//
// The package is pure: no files, no network, no clock, no randomness. It runs the same
// on a server and, as WebAssembly, on a phone in a gully. It does not know about entries,
// stores, pages or file formats.
package model
