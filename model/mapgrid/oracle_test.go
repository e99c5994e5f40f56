package mapgrid

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// ask runs a tool over lines of text and returns its lines.
func ask(t *testing.T, text, install, tool string, args ...string) []string {
	t.Helper()
	path, err := exec.LookPath(tool)
	if err != nil {
		t.Fatalf("%s is not installed: run make test, which installs %s", tool, install)
	}
	cmd := exec.Command(path, args...)
	cmd.Stdin = strings.NewReader(text)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil || errs.Len() > 0 {
		t.Fatalf("%s %v: %v %s", tool, args, err, errs.String())
	}
	return strings.Split(strings.TrimSpace(out.String()), "\n")
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestAgainstGeoConvert compares coordinates, zones, convergence and scale of places all
// over the earth with GeographicLib's GeoConvert, run here.
func TestAgainstGeoConvert(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	places := []orb.Point{{5.3, 60.4}, {2.9, 60}, {3, 56}, {3, 63.999}, {8.9, 75}, {9, 75}, {21, 80}, {33, 72}, {41.9, 83.9}, {42, 75}, {180, -17}, {-180, 17}, {147, 0}}
	for range 3000 {
		places = append(places, orb.Point{360*r.Float64() - 180, MinLatDeg + (MaxLatDeg-MinLatDeg)*r.Float64()})
	}
	var text strings.Builder
	for _, p := range places {
		fmt.Fprintf(&text, "%.12f %.12f\n", p[1], p[0])
	}
	grid := ask(t, text.String(), "geographiclib-tools", "GeoConvert", "-u", "-p", "6")
	lie := ask(t, text.String(), "geographiclib-tools", "GeoConvert", "-c", "-p", "6")
	if len(grid) != len(places) || len(lie) != len(places) {
		t.Fatalf("GeoConvert answers %d and %d lines to %d places", len(grid), len(lie), len(places))
	}
	var worstM, worstDeg, worstScale float64
	for i, p := range places {
		p = orb.Point{number(t, fmt.Sprintf("%.12f", p[0])), number(t, fmt.Sprintf("%.12f", p[1]))}
		got, _, err := UTM.Of(p, 0, Sight{})
		if err != nil {
			t.Errorf("%v: %v", p, err)
			continue
		}
		want := strings.Fields(grid[i])
		name := fmt.Sprintf("%02d%s", got.Zone, map[bool]string{true: "s", false: "n"}[got.South])
		if name != want[0] {
			t.Errorf("%v is in zone %s, want %s", p, name, want[0])
			continue
		}
		wantLie := strings.Fields(lie[i])
		worstM = max(worstM, math.Abs(got.EastingM-number(t, want[1])), math.Abs(got.NorthingM-number(t, want[2])))
		worstDeg = max(worstDeg, math.Abs(got.ConvergenceDeg-number(t, wantLie[0])))
		worstScale = max(worstScale, math.Abs(got.Scale-number(t, wantLie[1])))
	}
	t.Logf("%d places: off by at most %.2g m, convergence %.2g degrees, scale %.2g", len(places), worstM, worstDeg, worstScale)
	if worstM > 1e-6 || worstDeg > 1e-9 || worstScale > 1e-10 {
		t.Errorf("off GeoConvert by %v m, convergence %v degrees, scale %v", worstM, worstDeg, worstScale)
	}
}

// TestAgainstPROJ compares the Map Grid of Australia, datum shifts and all, with PROJ's
// own pipelines between its catalogued systems, run here. ITRF2014 stands for WGS84.
func TestAgainstPROJ(t *testing.T) {
	const toGDA2020 = "+proj=pipeline +step +proj=cart +ellps=GRS80" +
		" +step +proj=helmert +drx=0.00150379 +dry=0.00118346 +drz=0.00120716 +t_epoch=2020 +convention=coordinate_frame"
	const toGDA94 = toGDA2020 + " +step +inv +proj=helmert +x=0.06155 +y=-0.01087 +z=-0.04019" +
		" +rx=-0.0394924 +ry=-0.0327221 +rz=-0.0328979 +s=-0.009994 +convention=coordinate_frame"
	const toZone = " +step +inv +proj=cart +ellps=GRS80 +step +proj=utm +zone=%d +south +ellps=GRS80"
	r := rand.New(rand.NewPCG(5, 6))
	for _, test := range []struct {
		grid Grid
		to   string
	}{{MGA2020, toGDA2020}, {MGA94, toGDA94}} {
		worst := 0.0
		for zone := 49; zone <= 56; zone++ {
			var places []orb.Point
			var text strings.Builder
			for range 200 {
				p := orb.Point{centralMeridianDeg(zone) - 3 + 6*r.Float64(), -44 + 34*r.Float64()}
				places = append(places, p)
				fmt.Fprintf(&text, "%.14f %.14f 0 2026.75\n", p[0], p[1])
			}
			args := append([]string{"-d", "7"}, strings.Fields(test.to+fmt.Sprintf(toZone, zone))...)
			lines := ask(t, text.String(), "proj-bin", "cct", args...)
			if len(lines) != len(places) {
				t.Fatalf("cct answers %d lines to %d places", len(lines), len(places))
			}
			for i, p := range places {
				got, shift, err := test.grid.Of(p, zone, Sight{Year: 2026.75})
				if err != nil {
					t.Fatal(err)
				}
				want := strings.Fields(lines[i])
				worst = max(worst, math.Abs(got.EastingM-number(t, want[0])), math.Abs(got.NorthingM-number(t, want[1])))
				moved := math.Hypot(shift.EastM, shift.NorthM)
				if test.grid == MGA2020 && !(moved > 0.3 && moved < 0.6) || test.grid == MGA94 && !(moved > 1.7 && moved < 2.4) {
					t.Errorf("%s at %v is shifted by %.2f m", test.grid, p, moved)
				}
			}
		}
		t.Logf("%s: off by at most %.2g m at 1600 places", test.grid, worst)
		if worst > 2e-6 {
			t.Errorf("%s is off PROJ by %v m", test.grid, worst)
		}
	}
}
