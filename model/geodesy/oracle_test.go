package geodesy

import (
	"bytes"
	"fmt"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// oracle runs a GeographicLib tool over the lines of text and returns its lines.
func oracle(t testing.TB, text string, tool string, args ...string) []string {
	t.Helper()
	path, err := exec.LookPath(tool)
	if err != nil {
		t.Fatalf("%s is not installed: run make test, which installs geographiclib-tools", tool)
	}
	cmd := exec.Command(path, args...)
	cmd.Stdin = strings.NewReader(text)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil || errs.Len() > 0 {
		t.Fatalf("%s %v: %v %s", tool, args, err, errs.String())
	}
	return strings.Split(strings.TrimRight(out.String(), "\n"), "\n")
}

// fields reads the numbers of one line, and fails the test on any other word.
func fields(t testing.TB, line string, want int) []float64 {
	t.Helper()
	words := strings.Fields(line)
	if len(words) != want {
		t.Fatalf("oracle says %q, want %d numbers", line, want)
	}
	numbers := make([]float64, want)
	for i, word := range words {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			t.Fatalf("oracle says %q: %v", line, err)
		}
		numbers[i] = v
	}
	return numbers
}

// latFirst writes a position as GeographicLib reads it, with all its digits and without an
// exponent, whose e it would take for "east".
func latFirst(p orb.Point) string {
	return strconv.FormatFloat(p[1], 'f', -1, 64) + " " + strconv.FormatFloat(p[0], 'f', -1, 64)
}

type inverse struct{ lengthM, azimuthDeg float64 }

// geodSolve solves the inverse problem of each pair with GeodSolve, to 0.1 nm.
func geodSolve(t testing.TB, pairs [][2]orb.Point) []inverse {
	t.Helper()
	var text strings.Builder
	for _, pair := range pairs {
		fmt.Fprintln(&text, latFirst(pair[0]), latFirst(pair[1]))
	}
	lines := oracle(t, text.String(), "GeodSolve", "-i", "-p", "10")
	if len(lines) != len(pairs) {
		t.Fatalf("GeodSolve answers %d lines to %d pairs", len(lines), len(pairs))
	}
	solved := make([]inverse, len(lines))
	for i, line := range lines {
		v := fields(t, line, 3)
		solved[i] = inverse{lengthM: v[2], azimuthDeg: turn(v[0])}
	}
	return solved
}

type ringMeasure struct{ perimeterM, areaM2 float64 }

// planimeter measures each ring with Planimeter, areas positive counterclockwise.
func planimeter(t testing.TB, rings []orb.Ring, args ...string) []ringMeasure {
	t.Helper()
	var text strings.Builder
	for _, ring := range rings {
		for _, p := range ring {
			fmt.Fprintln(&text, latFirst(p))
		}
		fmt.Fprintln(&text)
	}
	lines := oracle(t, text.String(), "Planimeter", append([]string{"-p", "10"}, args...)...)
	if len(lines) != len(rings) {
		t.Fatalf("Planimeter answers %d lines to %d rings", len(lines), len(rings))
	}
	measures := make([]ringMeasure, len(lines))
	for i, line := range lines {
		if len(args) > 0 && args[0] == "-l" {
			measures[i] = ringMeasure{perimeterM: fields(t, line, 2)[1]}
			continue
		}
		v := fields(t, line, 3)
		measures[i] = ringMeasure{v[1], v[2]}
	}
	return measures
}
