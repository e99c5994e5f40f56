package demo

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"time"
)

// view is what a photo looks at.
type view int

const (
	headView view = iota // a gully head from above
	damView              // dams of rock across the floor of a gully
)

// picture draws an invented photo: sky, plain, the gully, and as much grass as there have
// been wet seasons, as a JPEG. Those of two days differ, if only in their grain.
func picture(v view, wetSeasons int, on time.Time) []byte {
	const width, height = 960, 640
	noise := rand.New(rand.NewPCG(7+uint64(v), uint64(wetSeasons)+uint64(on.Unix()/86400)))
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			img.SetRGBA(x, y, shade(v, float64(x)/width, float64(y)/height, wetSeasons, noise))
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 82}); err != nil {
		panic(err) // an image in memory always encodes
	}
	return out.Bytes()
}

func shade(v view, x, y float64, wetSeasons int, noise *rand.Rand) color.RGBA {
	horizon := 0.34 + 0.015*math.Sin(x*7)
	grain := noise.Float64() - 0.5
	if y < horizon {
		return tint(150+70*y, 190+40*y, 225, 4*grain)
	}
	lip := 0.52 + 0.04*math.Sin(x*11) + 0.02*math.Sin(x*31)
	inGully := math.Abs(x-0.5) < 0.12+0.45*(y-lip) && y > lip
	if v == damView && inGully {
		if dam, ok := ofDam(x, y, wetSeasons, noise); ok {
			return dam
		}
	}
	switch {
	case inGully && y < lip+0.14:
		return tint(150-240*(y-lip), 92-160*(y-lip), 58, 26*grain) // the face
	case inGully:
		return tint(176, 128, 88, 30*grain) // the floor
	case noise.Float64() < 0.12+0.26*float64(wetSeasons):
		return tint(118, 128, 62, 40*grain) // grass
	}
	return tint(190, 150, 106, 26*grain)
}

// ofDam is the colour of a place on one of three dams of rock, lower in the middle, or on
// the silt that each wet season has left behind them; false on neither.
func ofDam(x, y float64, wetSeasons int, noise *rand.Rand) (color.RGBA, bool) {
	grain := noise.Float64() - 0.5
	for i, foot := range []float64{0.70, 0.82, 0.97} {
		height := 0.05 + 0.025*float64(i)
		crest := foot - height*(0.7+0.9*math.Abs(x-0.5)) + 0.008*math.Sin(x*90+float64(i))
		if y > crest && y < foot {
			stone := math.Sin(x*170+6*float64(i)) * math.Sin(y*190)
			return tint(128+34*stone, 124+32*stone, 120+30*stone, 18*grain), true
		}
		if silt := 0.035 * float64(wetSeasons); y <= crest && y > crest-silt {
			if noise.Float64() < 0.2*float64(wetSeasons) {
				return tint(120, 134, 66, 36*grain), true // grass that came up on it
			}
			return tint(206, 182, 140, 14*grain), true
		}
	}
	return color.RGBA{}, false
}

func tint(r, g, b, grain float64) color.RGBA {
	clamp := func(v float64) uint8 { return uint8(max(0, min(255, v+grain))) }
	return color.RGBA{clamp(r), clamp(g), clamp(b), 255}
}
