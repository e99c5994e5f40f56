package main

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// What is printed must be read by a camera: the text is turned into a picture as a terminal
// shows it, and zbar, another's reader, reads the picture.
func TestQRTextIsReadByAnotherReader(t *testing.T) {
	if _, err := exec.LookPath("zbarimg"); err != nil {
		t.Fatal("zbarimg is not installed: run make test, which installs it")
	}
	for _, c := range []struct {
		name, text string
		inTerminal bool
	}{
		{"on-paper", "https://register.example.org/field/#/enrol/ABCDE-FGHJK", false},
		{"in-a-terminal", "https://register.example.org/field/#/enrol/ABCDE-FGHJK", true},
		{"with-a-port", "https://a-longer-name-of-a-server.example.org:8443/field/#/enrol/23456-789AB", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			printed, err := qrText(c.text, c.inTerminal)
			if err != nil {
				t.Fatal(err)
			}
			file := filepath.Join(t.TempDir(), "code.png")
			draw(t, file, printed)
			out, err := exec.Command("zbarimg", "--quiet", "--raw", "--nodbus", file).Output()
			if got := strings.TrimSpace(string(out)); err != nil || got != c.text {
				t.Errorf("zbar reads %q (%v), want %q", got, err, c.text)
			}
		})
	}
}

// draw makes a picture of half-block characters, dark on light.
func draw(t *testing.T, file, printed string) {
	t.Helper()
	const dot = 6
	printed = strings.NewReplacer("\x1b[30;107m", "", "\x1b[0m", "").Replace(printed)
	lines := strings.Split(strings.TrimSuffix(printed, "\n"), "\n")
	width := len([]rune(lines[0]))
	picture := image.NewGray(image.Rect(0, 0, width*dot, 2*len(lines)*dot))
	for i := range picture.Pix {
		picture.Pix[i] = 255
	}
	ink := map[rune][2]bool{'█': {true, true}, '▀': {true, false}, '▄': {false, true}, ' ': {}}
	for row, line := range lines {
		for column, r := range []rune(line) {
			halves, known := ink[r]
			if !known || len([]rune(line)) != width {
				t.Fatalf("line %d is %q, want %d blocks", row, line, width)
			}
			for half, dark := range halves {
				for y := range dot {
					for x := 0; dark && x < dot; x++ {
						picture.SetGray(column*dot+x, (2*row+half)*dot+y, color.Gray{})
					}
				}
			}
		}
	}
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(f, picture); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}
