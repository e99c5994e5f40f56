package main

import (
	"strings"

	"rsc.io/qr"
)

// quietModules is the blank margin that a QR code needs, in modules (ISO/IEC 18004, 6.3.8).
const quietModules = 4

// qrText draws a text as a QR code, two modules to a character: dark modules as full ink.
// In a terminal, of which nobody knows whether it is dark or light, inTerminal says both
// colours outright.
func qrText(text string, inTerminal bool) (string, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	for y := -quietModules; y < code.Size+quietModules; y += 2 {
		if inTerminal {
			b.WriteString("\x1b[30;107m")
		}
		for x := -quietModules; x < code.Size+quietModules; x++ {
			upper, lower := code.Black(x, y), code.Black(x, y+1) // false outside of the code
			switch {
			case upper && lower:
				b.WriteString("█")
			case upper:
				b.WriteString("▀")
			case lower:
				b.WriteString("▄")
			default:
				b.WriteString(" ")
			}
		}
		if inTerminal {
			b.WriteString("\x1b[0m")
		}
		b.WriteString("\n")
	}
	return b.String(), nil
}
