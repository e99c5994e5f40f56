// Package compute is the one entry point to every computation: the terminal, the server and the
// phone all call Run with a name and a JSON object, and get a JSON object or a
// *model.Problem that names the value at fault by its JSON path ("rows[3].bs").
//
// It is not the place for arithmetic. Each file beside registry.go only adapts: it states
// the JSON names, units and words of one computation and hands the values to the package
// that knows the trade. DEVELOPERS.md says step by step how to add one.
//
// # Structs
//
// Each field of an input or output has three tags: json (its name, ending in its unit; omitempty
// or a pointer makes an input optional), unit (a UCUM code, none for text and lists of objects)
// and doc. A text that must be one of a few has choices:"a|b". Fields may be numbers, whole
// numbers, booleans, texts, structs, lists of these, fixed arrays ([2]float64 is a position) and
// pointers to these, and what encodes itself as text.
//
// A plus-minus is named as its figure with PlusMinus before the unit, and is negative when
// not known: it is then left out, and figure and plus-minus end at the digits they deserve. A
// struct of the two has the name of the plus-minus in a tag plusMinus, and what is to be said of it
// besides in plusMinusDoc.
//
// Reading, naming of faults, explanation, JSON Schemas and the refusal of answers that are
// not numbers then come by themselves.
//
// # Same bytes everywhere
//
// Answer writes what the command line, HTTP and the browser give; server/parity drives all three
// with every golden case. Only last bits that processors round differently could break that, hence
// model/elementary; on arm64, where the compiler joins products and sums, a server may differ from
// a browser in the last digit.
//
// # Limits
//
// A computation is bounded by steps ([model.Work]), not by time: beyond [MaxSteps] it is refused, on
// the server and the phone in the same words, and so is an answer far longer than its input
// (budget.go). Each states in Growth how its steps grow at worst, which TestCost fits on inputs made
// to be bad. A loop that can go far beyond its input counts what it does, and stops when nobody
// waits any more.
package compute
