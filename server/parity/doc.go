// Package parity tests that the three ways to a computation give the same bytes: the
// command line, POST /compute/NAME and the browser. The command is the one that make
// builds, the server is that command, and the browser loads the program from it. Nothing
// but tests is here.
package parity
