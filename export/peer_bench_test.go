package export

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"iter"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
)

// The comparison with ogr2ogr: processor time and peak memory of whole processes, ours and
// GDAL's in turn, in one run. Only the ratios count; run it with
//
//	go test ./export -run TestPeer -v -peer 100000
//
// ogr2ogr reads the same features from a GeoPackage, the input it reads fastest; what it
// spends on reading alone is measured too. Ours makes the features as it goes and works
// out their figures, which ogr2ogr finds ready in its input. Its fields come round again
// every thousand features: making them is not on trial.

var peer = flag.Int("peer", 2000, "number of features of the comparison with ogr2ogr")

// comparable is how many features the ratios mean something at: with fewer, both programs
// spend most of their time on starting.
const comparable = 100_000

// childVar makes the test binary an exporter: "FORMAT SET COUNT PATH".
const childVar = "HEADCUT_EXPORT_CHILD"

func TestMain(m *testing.M) {
	if order := os.Getenv(childVar); order != "" {
		if err := child(order); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

func child(order string) error {
	var format, set, path string
	var n int
	if _, err := fmt.Sscan(order, &format, &set, &n, &path); err != nil {
		return err
	}
	f, _ := Named(format)
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := f.Write(file, source(set, n)); err != nil {
		return err
	}
	if err := file.Close(); err != nil {
		return err
	}
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return err
	}
	for line := range strings.Lines(string(status)) {
		if peak, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			fmt.Print(strings.TrimSuffix(strings.TrimSpace(peak), " kB"))
		}
	}
	return nil
}

// source is a large invented property: points with some 25 columns, or lines of 100
// positions, a tenth as many.
func source(set string, n int) Source {
	features := many(n, crossing25)
	if set == "lines" {
		features = many(n/10, rip100)
	}
	return Source{Property: "Large", Features: features, Figures: figuresOf(features)}
}

func many(n int, make func(i int) model.Feature) iter.Seq2[model.Feature, error] {
	var held [1000]model.Feature
	for i := range min(n, len(held)) {
		held[i] = make(i)
	}
	return func(yield func(model.Feature, error) bool) {
		for i := range n {
			f := held[i%len(held)]
			f.ID += "-" + strconv.Itoa(i/len(held))
			if at, ok := f.Geometry.(orb.Point); ok {
				f.Geometry = orb.Point{at[0], at[1] - float64(i/len(held))*1.13457e-5}
			}
			if !yield(f, nil) {
				return
			}
		}
	}
}

// crossing25 is a whoa-boy marked by a point.
func crossing25(i int) model.Feature {
	number := func(v float64) json.RawMessage { return strconv.AppendFloat(nil, v, 'f', 2, 64) }
	return model.Feature{
		ID: "bank-" + strconv.Itoa(i), Kind: "whoa-boy",
		Geometry: orb.Point{133.2 + float64(i)*1.23457e-5, -16.1},
		Fields: map[string]json.RawMessage{
			"kind": json.RawMessage(`"whoa-boy"`), "status": json.RawMessage(`"built"`), "builtOn": json.RawMessage(`"2026-05-01"`),
			"proposedOn": json.RawMessage(`"2026-03-01"`), "observedOn": json.RawMessage(`"2026-05-02"`),
			"name":      strconv.AppendQuote(nil, "Bank "+strconv.Itoa(i)),
			"notes":     json.RawMessage(`"Outlet clear, grass coming on the batter & the spoil side."`),
			"accuracyM": number(3 + float64(i%50)/10), "gpsHeightM": number(210 + float64(i%300)/10),
			"sensitive": json.RawMessage(`false`), "heightM": number(0.4 + float64(i%10)/20), "outletSide": json.RawMessage(`"left"`),
			"track": json.RawMessage(`"track-1"`), "chainageM": number(float64(i) / 4),
		},
	}
}

// rip100 is a rip line of 100 positions.
func rip100(i int) model.Feature {
	line := make(orb.LineString, 100)
	for k := range line {
		line[k] = orb.Point{133.2 + float64(k)*9.13579e-5, -16.1 - float64(i)*3.12345e-5 + float64(k%7)*1.2345e-6}
	}
	f := crossing25(i)
	return model.Feature{ID: "rip-" + strconv.Itoa(i), Kind: "rip-line", Geometry: line, Fields: map[string]json.RawMessage{
		"name": f.Fields["name"], "status": f.Fields["status"], "accuracyM": f.Fields["accuracyM"], "depthM": json.RawMessage("0.45")}}
}

// used is what a process took.
type used struct {
	cpu, wall time.Duration
	peakMB    float64
}

func (u used) String() string {
	return fmt.Sprintf("%.2f s CPU, %.2f s wall, %.0f MB", u.cpu.Seconds(), u.wall.Seconds(), u.peakMB)
}

func run(t testing.TB, cmd *exec.Cmd) used {
	t.Helper()
	var said, peak bytes.Buffer
	cmd.Stderr, cmd.Stdout = &said, &peak
	start := time.Now()
	if err := cmd.Run(); err != nil || said.Len() > 0 {
		t.Fatalf("%s: %v\n%s", cmd, err, said.String())
	}
	state := cmd.ProcessState
	usage := state.SysUsage().(*syscall.Rusage)
	kB := float64(usage.Maxrss) // counts the moment before exec too, when it is still this process
	if own, err := strconv.ParseFloat(peak.String(), 64); err == nil {
		kB = own // one of ours, which measured itself
	}
	return used{state.UserTime() + state.SystemTime(), time.Since(start), kB / 1024}
}

// median of three runs by processor time; at sizes too small to compare, of one.
func median(t testing.TB, command func() *exec.Cmd) used {
	t.Helper()
	runs := 1
	if *peer >= comparable {
		runs = 3
	}
	var all []used
	for range runs {
		all = append(all, run(t, command()))
	}
	slices.SortFunc(all, func(a, b used) int { return int(a.cpu - b.cpu) })
	return all[runs/2]
}

func TestPeer(t *testing.T) {
	ogr, err := exec.LookPath("ogr2ogr")
	if err != nil {
		t.Fatal("ogr2ogr is not installed: run make test, which installs it")
	}
	dir := t.TempDir()
	for _, set := range []string{"points", "lines"} {
		ours := func(format string, n int, path string) *exec.Cmd {
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), childVar+"="+fmt.Sprint(format, " ", set, " ", n, " ", path))
			return cmd
		}
		// The peer's input holds the same columns and figures.
		whole, input := filepath.Join(dir, set+".geojson"), filepath.Join(dir, set+".gpkg")
		run(t, ours("geojson", *peer, whole))
		run(t, exec.Command(ogr, "-f", "GPKG", "-nln", "property", "-lco", "SPATIAL_INDEX=NO", input, whole))
		reading := median(t, func() *exec.Cmd { return exec.Command(ogr, "-f", "Memory", "held", input) })
		t.Logf("%s: ogr2ogr reading alone: %v", set, reading)
		for _, c := range []struct {
			format string
			theirs []string
		}{
			{"geojson", []string{"-f", "GeoJSON", "-lco", "RFC7946=YES", "-lco", "COORDINATE_PRECISION=8"}},
			{"kml", []string{"--config", "OGR_SKIP", "LIBKML", "-f", "KML", "-mapFieldType", "Date=String"}},
		} {
			out := filepath.Join(dir, "out."+c.format)
			theirs := median(t, func() *exec.Cmd {
				os.Remove(out)
				return exec.Command(ogr, append(slices.Clone(c.theirs), out, input)...)
			})
			mine := median(t, func() *exec.Cmd { return ours(c.format, *peer, out) })
			less := median(t, func() *exec.Cmd { return ours(c.format, *peer/10, out) })
			ratio := theirs.cpu.Seconds() / mine.cpu.Seconds()
			t.Logf("%s to %s: ours %v; ogr2ogr %v; ogr2ogr takes %.1f times the processor time, %.1f without its reading; a tenth of the features takes us %.0f MB",
				set, c.format, mine, theirs, ratio, (theirs.cpu-reading.cpu).Seconds()/mine.cpu.Seconds(), less.peakMB)
			if mine.peakMB > 64 {
				t.Errorf("%s to %s peaks at %.0f MB, want under 64", set, c.format, mine.peakMB)
			}
			if mine.peakMB > less.peakMB+16 {
				t.Errorf("%s to %s grows from %.0f to %.0f MB with ten times the features", set, c.format, less.peakMB, mine.peakMB)
			}
			if *peer >= comparable && ratio < 3 {
				t.Errorf("%s to %s: ogr2ogr takes only %.1f times our processor time, want 3", set, c.format, ratio)
			}
		}
	}
}

// BenchmarkWrite is the writers alone, one feature an operation.
func BenchmarkWrite(b *testing.B) {
	for _, format := range Formats {
		for name, make := range map[string]func(int) model.Feature{"point-of-25-columns": crossing25, "line-of-100-positions": rip100} {
			b.Run(format.Name+"-"+name, func(b *testing.B) {
				var held []model.Feature
				for i := range 1000 {
					held = append(held, make(i))
				}
				b.ReportAllocs()
				n := 0
				err := format.Write(io.Discard, Source{Features: func(yield func(model.Feature, error) bool) {
					for b.Loop() {
						if !yield(held[n%len(held)], nil) {
							return
						}
						n++
					}
				}})
				if err != nil {
					b.Fatal(err)
				}
			})
		}
	}
}
