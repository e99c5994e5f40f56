package demo

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
)

// picture draws an invented photo of a gully head: sky, plain, the cut, and as much grass
// as there have been wet seasons, as a JPEG.
func picture(wetSeasons int) []byte {
	const width, height = 960, 640
	noise := rand.New(rand.NewPCG(7, uint64(wetSeasons)))
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			img.SetRGBA(x, y, shade(float64(x)/width, float64(y)/height, wetSeasons, noise))
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 82}); err != nil {
		panic(err) // an image in memory always encodes
	}
	return out.Bytes()
}

func shade(x, y float64, wetSeasons int, noise *rand.Rand) color.RGBA {
	horizon := 0.34 + 0.015*math.Sin(x*7)
	grain := noise.Float64() - 0.5
	if y < horizon {
		return tint(150+70*y, 190+40*y, 225, 4*grain)
	}
	lip := 0.52 + 0.04*math.Sin(x*11) + 0.02*math.Sin(x*31)
	inGully := math.Abs(x-0.5) < 0.12+0.45*(y-lip) && y > lip
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

func tint(r, g, b, grain float64) color.RGBA {
	clamp := func(v float64) uint8 { return uint8(math.Max(0, math.Min(255, v+grain))) }
	return color.RGBA{clamp(r), clamp(g), clamp(b), 255}
}
