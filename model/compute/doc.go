// Package compute is the one door to every computation: the terminal, the server and the
// phone all call Run with a name and a JSON object, and get a JSON object or a
// *model.Problem that names the value at fault by its JSON path ("rows[3].bs").
//
// It is not the place for arithmetic. Each file beside registry.go only adapts: it states
// the JSON names, units and words of one computation and hands the values to the package
// that knows the trade.
//
// To add a computation:
//
//  1. Write the arithmetic and its tests in the package of its subject, returning a
//     *model.Problem whose path is relative to the input ("bed[3].levelM").
//
//  2. Add a file here named after it, with an input and an output struct. Every field has
//     three tags: json (its name, ending in its unit; omitempty or a pointer makes an
//     input optional), unit (a UCUM code, none for text and lists of objects) and doc.
//     A text that must be one of a few has choices:"a|b". Fields may be numbers, whole
//     numbers, booleans, texts, structs, lists of these, fixed arrays ([2]float64 is a
//     position) and pointers to these.
//
//  3. Make it a Computation with define[In, Out](Doc{…}, func(In, *model.Work) (Out, error)), and
//     add that to the table in registry.go at its place. Where its work can grow faster than
//     its input, count it; add its worst inputs to cost_test.go.
//
//  4. Add golden inputs, good ones and refused ones, in testdata/compute.
//
// A plus-minus is named as its figure with PlusMinus before the unit, and is negative when
// not known: it is then left out, and figure and plus-minus end at the digits they deserve.
//
// Reading, naming of faults, explanation, JSON Schemas and the refusal of answers that are
// not numbers then come by themselves.
package compute
