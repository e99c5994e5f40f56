package main

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// The pixels are judged against the geometry of the drawing, not against a kept picture.
func TestRasterDrawsStrokesWhereTheyAre(t *testing.T) {
	svg := []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64"><rect width="64" height="64" fill="#fff"/>` +
		`<path d="M6 18h24v26h28" fill="none" stroke="#102030" stroke-width="6"/></svg>`)
	ink, paper := color.NRGBA{0x10, 0x20, 0x30, 255}, color.NRGBA{255, 255, 255, 255}
	for _, c := range []struct {
		name string
		size int
		part float64
		x, y float64 // in the drawing
		want color.NRGBA
	}{
		{"on-the-first-tread", 128, 1, 20, 18, ink},
		{"just-within-its-width", 128, 1, 20, 20.5, ink},
		{"just-outside-its-width", 128, 1, 20, 21.6, paper},
		{"on-the-riser", 192, 1, 30, 30, ink},
		{"on-the-lower-tread", 192, 1, 50, 44, ink},
		{"above-the-lower-tread", 192, 1, 50, 20, paper},
		{"masked-on-the-riser", 512, 0.56, 30, 30, ink},
		{"masked-beside-the-riser", 512, 0.56, 34, 30, paper},
	} {
		t.Run(c.name, func(t *testing.T) {
			file, err := raster(svg, c.size, c.part)
			if err != nil {
				t.Fatal(err)
			}
			picture, err := png.Decode(bytes.NewReader(file))
			if err != nil {
				t.Fatal(err)
			}
			scale := float64(c.size) * c.part / 64
			shift := float64(c.size) * (1 - c.part) / 2
			x, y := int(c.x*scale+shift), int(c.y*scale+shift)
			if got := color.NRGBAModel.Convert(picture.At(x, y)); got != c.want {
				t.Errorf("pixel %d,%d of a %d px icon: got %v, want %v", x, y, c.size, got, c.want)
			}
		})
	}
}

// A curve of SVG 2 passes through its ends and, at the half, through the mean of its
// points with the weights 1 3 3 1.
func TestFlattenFollowsCurves(t *testing.T) {
	line, err := flatten("M14 52c4-3 8-3 12 0s8 3 12 0")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []point{{14, 52}, {20, 52 - 3*6.0/8}, {26, 52}, {32, 52 + 3*6.0/8}, {38, 52}} {
		nearest := math.Inf(1)
		for _, p := range line {
			nearest = min(nearest, math.Hypot(p.x-want.x, p.y-want.y))
		}
		if nearest > 1e-9 {
			t.Errorf("the curve passes %.3g from %v, want through it", nearest, want)
		}
	}
	for _, bad := range []string{"Q1 2 3 4", "M1", "Mx", "M1 2A3"} {
		if _, err := flatten(bad); err == nil {
			t.Errorf("flatten(%q): got no error, want one", bad)
		}
	}
}

// What a phone needs to offer the page for its home screen: start, scope, a picture of 192
// and of 512 pixels, and one that may be masked, in the sizes that the manifest says.
func TestFieldPageCanBeInstalled(t *testing.T) {
	svg, err := os.ReadFile(filepath.Join(viewerFolder, "src", "field", "icon.svg"))
	if err != nil {
		t.Fatal(err)
	}
	f := files{}
	if _, err := f.addInstall(pages[1], "field-x.svg", svg); err != nil {
		t.Fatal(err)
	}
	var m appManifest
	if err := json.Unmarshal(f["field.webmanifest"], &m); err != nil {
		t.Fatal(err)
	}
	if m.StartURL != "/field/" || m.Scope != "/field/" || m.Display != "standalone" {
		t.Errorf("manifest: got %+v, want it to start at /field/ on its own", m)
	}
	sizes := ""
	for _, icon := range m.Icons[1:] {
		config, _, err := image.DecodeConfig(bytes.NewReader(f[strings.TrimPrefix(icon.Src, "/field/assets/")]))
		if err != nil {
			t.Fatalf("%s: %v", icon.Src, err)
		}
		if want := strings.Split(icon.Sizes, "x")[0]; config.Width != config.Height || want != strconv.Itoa(config.Width) {
			t.Errorf("%s is %d by %d, want %s", icon.Src, config.Width, config.Height, icon.Sizes)
		}
		sizes += icon.Sizes + icon.Purpose + " "
	}
	if want := "192x192 512x512 512x512maskable "; sizes != want {
		t.Errorf("icons: got %q, want %q", sizes, want)
	}
}
