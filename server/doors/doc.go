// Package doors tests that the three doors to the computations give the same bytes: the
// command line, POST /compute/NAME and the browser. The command is the one that make
// builds, the server is that command, and the browser loads the program from it. Nothing
// but tests is here.
package doors
