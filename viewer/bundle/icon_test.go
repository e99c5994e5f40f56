package main

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

var iconFolder = filepath.Join(viewerFolder, "src", "field", "icon")

// The pictures are judged against the geometry of icon.svg: a ground, a stroke 6 wide over
// M6 18h24v26h28, and the water below, all in a square of 64.
func TestPicturesAreTheDrawing(t *testing.T) {
	ink, paper := color.NRGBA{0x1c, 0x1b, 0x17, 255}, color.NRGBA{255, 255, 255, 255}
	parts := map[string]float64{"192.png": 1, "512.png": 1, "512-maskable.png": 0.56, "180-touch.png": 0.8}
	for _, p := range pictures {
		file, err := os.ReadFile(filepath.Join(iconFolder, p.file))
		if err != nil {
			t.Fatal(err)
		}
		picture, err := png.Decode(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		scale := float64(p.size) * parts[p.file] / 64
		shift := float64(p.size) * (1 - parts[p.file]) / 2
		for _, c := range []struct {
			x, y float64 // in the drawing
			want color.NRGBA
		}{{20, 18, ink}, {20, 20, ink}, {20, 22, paper}, {30, 30, ink}, {34, 30, paper}, {50, 44, ink}, {50, 20, paper}, {26, 52, color.NRGBA{0x1d, 0x5f, 0x8a, 255}}} {
			x, y := int(c.x*scale+shift), int(c.y*scale+shift)
			if got := color.NRGBAModel.Convert(picture.At(x, y)); got != c.want {
				t.Errorf("%s: pixel %d,%d, which is %v,%v of the drawing: got %v, want %v", p.file, x, y, c.x, c.y, got, c.want)
			}
		}
	}
}

// What a phone needs to offer the page for its home screen: start, scope, a picture of 192
// and of 512 pixels, and one that may be masked, in the sizes that the manifest says.
func TestFieldPageCanBeInstalled(t *testing.T) {
	f := files{}
	if _, err := f.addInstall(pages[1], "field-x.svg", iconFolder); err != nil {
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
