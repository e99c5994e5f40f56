package demo

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image/jpeg"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"headcut/sync/workedtest"
)

// digits are those that no instrument gives, of which processors differ in the last.
var digits = regexp.MustCompile(`\d+\.\d{7,}`)

func rounded(number string) string {
	v, _ := strconv.ParseFloat(number, 64)
	return strconv.FormatFloat(v, 'f', 7, 64)
}

// shades are how light the parts of a picture are, from 0 to 7, row by row.
func shades(t *testing.T, photo []byte) string {
	picture, err := jpeg.Decode(bytes.NewReader(photo))
	if err != nil {
		t.Fatal(err)
	}
	const across, down = 12, 8
	size := picture.Bounds().Size()
	out := fmt.Sprintf("%dx%d", size.X, size.Y)
	for y := range down {
		out += " "
		for x := range across {
			sum, n := uint64(0), uint64(0)
			for i := x * size.X / across; i < (x+1)*size.X/across; i++ {
				for j := y * size.Y / down; j < (y+1)*size.Y/down; j++ {
					r, g, b, _ := picture.At(i, j).RGBA()
					sum, n = sum+uint64(r+g+b)/3, n+1
				}
			}
			out += fmt.Sprint(sum / n >> 13)
		}
	}
	return out
}

// TestScene: the demo is the same wherever and whenever it is made, but for what somebody meant to
// change in it.
func TestScene(t *testing.T) {
	workedtest.Run(t, "../../testdata/demo/scene.txt", func(t *testing.T, given string) string {
		var out strings.Builder
		switch given {
		case "Scene":
			for _, c := range Scene() {
				set, err := json.Marshal(c.Set)
				if err != nil {
					t.Fatal(err)
				}
				fmt.Fprintf(&out, "%s %s %s: %s", c.At.Format(time.RFC3339), strings.Fields(People[c.By])[0], c.Feature, digits.ReplaceAllStringFunc(string(set), rounded))
				if c.Photo != nil {
					out.WriteString(" photo " + shades(t, c.Photo))
				}
				out.WriteString("\n")
			}
		case "HandedIn":
			files := HandedIn()
			for _, name := range slices.Sorted(maps.Keys(files)) {
				fmt.Fprintf(&out, "%s\n%s\n", name, files[name])
			}
		}
		return out.String()
	})
}
