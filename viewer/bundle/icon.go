package main

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"strconv"
	"strings"
)

// drawing is an icon's SVG as far as our icons go: a ground of one colour and strokes of
// one width each, with round ends where a raster is made of them.
type drawing struct {
	ViewBox string `xml:"viewBox,attr"`
	Ground  struct {
		Fill string `xml:"fill,attr"`
	} `xml:"rect"`
	Paths []struct {
		D      string  `xml:"d,attr"`
		Stroke string  `xml:"stroke,attr"`
		Width  float64 `xml:"stroke-width,attr"`
	} `xml:"path"`
}

// raster draws an icon as a PNG of size by size pixels for phones that take no SVG. The
// drawing takes the middle part of it, from 0 to 1: what lies outside may be cut off.
func raster(svg []byte, size int, part float64) ([]byte, error) {
	var d drawing
	if err := xml.Unmarshal(svg, &d); err != nil {
		return nil, fmt.Errorf("icon: %w", err)
	}
	var left, top, width, height float64
	if _, err := fmt.Sscan(d.ViewBox, &left, &top, &width, &height); err != nil || width != height || width <= 0 {
		return nil, fmt.Errorf("icon: the viewBox %q is not a square", d.ViewBox)
	}
	ground, err := colourOf(d.Ground.Fill)
	if err != nil {
		return nil, err
	}
	picture := image.NewNRGBA(image.Rect(0, 0, size, size))
	for i := range size * size {
		picture.SetNRGBA(i%size, i/size, ground)
	}
	scale := float64(size) * part / width
	shift := float64(size) * (1 - part) / 2
	for _, p := range d.Paths {
		ink, err := colourOf(p.Stroke)
		if err != nil {
			return nil, err
		}
		line, err := flatten(p.D)
		if err != nil {
			return nil, err
		}
		for i := range line {
			line[i] = point{(line[i].x-left)*scale + shift, (line[i].y-top)*scale + shift}
		}
		stroke(picture, line, p.Width*scale, ink)
	}
	var b bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	err = encoder.Encode(&b, picture)
	return b.Bytes(), err
}

type point struct{ x, y float64 }

// stroke covers each pixel by how far its middle lies within the line's width.
func stroke(picture *image.NRGBA, line []point, width float64, ink color.NRGBA) {
	box := picture.Bounds()
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			nearest := math.Inf(1)
			for i := 1; i < len(line); i++ {
				nearest = min(nearest, distance(point{float64(x) + 0.5, float64(y) + 0.5}, line[i-1], line[i]))
			}
			cover := min(1, max(0, width/2-nearest+0.5))
			if cover == 0 {
				continue
			}
			under := picture.NRGBAAt(x, y)
			mix := func(a, b uint8) uint8 { return uint8(math.Round(float64(a)*(1-cover) + float64(b)*cover)) }
			picture.SetNRGBA(x, y, color.NRGBA{mix(under.R, ink.R), mix(under.G, ink.G), mix(under.B, ink.B), 255})
		}
	}
}

// distance from p to the piece of line from a to b.
func distance(p, a, b point) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	t := 0.0
	if along := dx*dx + dy*dy; along > 0 {
		t = min(1, max(0, ((p.x-a.x)*dx+(p.y-a.y)*dy)/along))
	}
	return math.Hypot(p.x-a.x-t*dx, p.y-a.y-t*dy)
}

// flatten reads a path of one line in the commands M L H V C S of SVG 2, section 9.3, and
// gives points on it; curves become straight pieces.
func flatten(d string) ([]point, error) {
	const letters = "MmLlHhVvCcSs"
	var line []point
	at, control := point{}, point{}
	for d = strings.TrimSpace(d); d != ""; {
		command := d[0]
		if !strings.ContainsRune(letters, rune(command)) {
			return nil, fmt.Errorf("icon: the path command %q is not known here", command)
		}
		rest := d[1:]
		end := strings.IndexAny(rest, letters)
		if end < 0 {
			end = len(rest)
		}
		numbers, err := numbersIn(rest[:end])
		if err != nil {
			return nil, err
		}
		d = rest[end:]
		takes := map[byte]int{'m': 2, 'l': 2, 'h': 1, 'v': 1, 'c': 6, 's': 4}[command|0x20]
		if len(numbers) == 0 || len(numbers)%takes != 0 {
			return nil, fmt.Errorf("icon: %d numbers follow %q in a path", len(numbers), command)
		}
		for ; len(numbers) > 0; numbers = numbers[takes:] {
			from := point{}
			if command >= 'a' {
				from = at
			}
			n := numbers[:takes]
			next := at
			switch command | 0x20 {
			case 'm', 'l':
				next = point{from.x + n[0], from.y + n[1]}
			case 'h':
				next.x = from.x + n[0]
			case 'v':
				next.y = from.y + n[0]
			case 'c', 's':
				first := point{2*at.x - control.x, 2*at.y - control.y}
				if len(n) == 6 {
					first, n = point{from.x + n[0], from.y + n[1]}, n[2:]
				}
				control = point{from.x + n[0], from.y + n[1]}
				next = point{from.x + n[2], from.y + n[3]}
				for i := 1; i < curvePieces; i++ {
					line = append(line, bezier(at, first, control, next, float64(i)/curvePieces))
				}
				at = next
				line = append(line, at)
				continue
			}
			at, control = next, next
			line = append(line, at)
		}
	}
	return line, nil
}

const curvePieces = 12

func bezier(a, b, c, d point, t float64) point {
	u := 1 - t
	return point{
		u*u*u*a.x + 3*u*u*t*b.x + 3*u*t*t*c.x + t*t*t*d.x,
		u*u*u*a.y + 3*u*u*t*b.y + 3*u*t*t*c.y + t*t*t*d.y,
	}
}

func numbersIn(text string) ([]float64, error) {
	var all []float64
	for _, word := range strings.Fields(strings.NewReplacer(",", " ", "-", " -").Replace(text)) {
		n, err := strconv.ParseFloat(word, 64)
		if err != nil {
			return nil, fmt.Errorf("icon: %q is not a number", word)
		}
		all = append(all, n)
	}
	return all, nil
}

// colourOf reads "#rgb" or "#rrggbb".
func colourOf(text string) (color.NRGBA, error) {
	c := color.NRGBA{A: 255}
	if len(text) == 4 {
		text = "#" + strings.Repeat(text[1:2], 2) + strings.Repeat(text[2:3], 2) + strings.Repeat(text[3:4], 2)
	}
	if _, err := fmt.Sscanf(text, "#%02x%02x%02x", &c.R, &c.G, &c.B); err != nil {
		return c, fmt.Errorf("icon: %q is not a colour", text)
	}
	return c, nil
}
