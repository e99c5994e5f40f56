// Package jsonvalue reads and writes Go values as JSON (RFC 8259) in what phones load: all that model and
// the register need of encoding/json, at a fifth of its weight there (12 kB compressed instead of 65). Its
// fuzz tests hold it to that package, from which it differs in this:
//
//   - Names of members are exact: "TYPE" is not "type". A field CrestHeightM without a tag is "crestHeightM".
//   - What could not be read whole is left as it was before, so that half a level book is never taken for one.
//   - Texts are written without escapes for HTML.
//   - A type that nothing here needs, such as []byte, a channel or a struct that reads its own JSON, is an error.
//
// Where a program does not go to phones, encoding/json does.
package jsonvalue
