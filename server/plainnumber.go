package server

import (
	"math"
	"strconv"
	"strings"

	"headcut/model"
)

// fineness is how finely a figure is shown to a landholder.
type fineness struct {
	unit     string  // UCUM code that the words use
	per      float64 // how many of the figure's own unit one of these is
	decimals int     // of the words; negative: tens, hundreds
}

// finenessOf is how finely a figure is shown: by its plus-minus, and never finer than a centimetre below one metre, a tenth of a metre or
// hectare above, and from ten upwards a whole one. A distance along a gully or track is shown in whole metres, but one that
// was taped as spacings are, so that they add up on one page.
func finenessOf(f model.Figure) fineness {
	out := fineness{unit: f.Unit, per: 1, decimals: 1}
	if f.Unit == "m2" && math.Abs(f.Value) >= 10000 {
		out.unit, out.per = "har", 10000
	}
	value := math.Abs(f.Value) / out.per
	taped := f.Name == "chainageM" && value >= 1 && f.PlusMinus != nil && *f.PlusMinus < 0.25
	if out.unit == "m2" || out.unit == "%" || f.Name == "chainageM" || value >= 10 {
		out.decimals = 0
	}
	if taped {
		out.decimals = 1
	}
	if value < 1 && out.unit == "m" && out.decimals > 0 {
		out.decimals = 2
	}
	if f.PlusMinus != nil && *f.PlusMinus > 0 {
		out.decimals = min(out.decimals, -int(math.Floor(math.Log10(*f.PlusMinus/out.per))))
	}
	return out
}

// measureInWords is a figure as a landholder reads it: "84 ± 4 m, by GPS". A plus-minus
// below the last digit is not said.
func measureInWords(f model.Figure) string {
	fine := finenessOf(f)
	text := rounded(f.Value/fine.per, fine.decimals)
	switch {
	case f.PlusMinus == nil:
		text = "about " + plainest(text)
	case fine.shows(*f.PlusMinus):
		text += " ± " + rounded(*f.PlusMinus/fine.per, fine.decimals)
	default:
		text = plainest(text)
	}
	return text + afterNumber(fine.unit) + byWhat[f.Basis]
}

// plainest is a number of centimetres without a nought at its end: 0.4, 0.45.
func plainest(text string) string {
	if _, part, _ := strings.Cut(text, "."); len(part) == 2 {
		return strings.TrimSuffix(text, "0")
	}
	return text
}

// shows reports whether a plus-minus reaches the last digit, or nearly.
func (fine fineness) shows(plusMinus float64) bool {
	return plusMinus/fine.per >= 0.75*math.Pow(10, float64(-fine.decimals))
}

// asShown is a figure with the digits that measureInWords gives it, in its own unit; a
// plus-minus that is not said keeps its first digit.
func asShown(f model.Figure) model.Figure {
	fine := finenessOf(f)
	last := fine.per * math.Pow(10, float64(-fine.decimals))
	f.Value = roundedTo(f.Value, last)
	if f.PlusMinus != nil && *f.PlusMinus > 0 {
		if !fine.shows(*f.PlusMinus) {
			last = math.Pow(10, math.Floor(math.Log10(*f.PlusMinus)))
		}
		f.PlusMinus = model.Known(roundedTo(*f.PlusMinus, last))
	}
	return f
}

// roundedTo is v to the nearest multiple of unit, without the digits that binary numbers
// leave behind.
func roundedTo(v, unit float64) float64 {
	short, err := strconv.ParseFloat(strconv.FormatFloat(math.Round(v/unit+math.Copysign(1e-9, v))*unit, 'f', 6, 64), 64)
	if err != nil {
		return v // not finite
	}
	return short
}

// byWhat is how a value was measured, behind it.
var byWhat = map[model.Basis]string{
	model.Levelled: ", by level", model.Taped: ", by tape", model.GPS: ", by GPS", model.Drawn: ", drawn on the map",
	model.Estimated: ", estimated", model.FromPlan: ", from the plan",
	model.Unproven: ", not yet checked by a closed level run",
}

// rounded writes a number with so many decimals; negative ones round to tens, hundreds.
// Thousands are parted by a thin space that does not break, as everywhere on the pages.
func rounded(v float64, decimals int) string {
	v = math.Copysign(math.Abs(v)+1e-9, v) // 0.15, which binary numbers hold a little short, is half way up
	if decimals < 0 {
		unit := math.Pow(10, float64(-decimals))
		v, decimals = math.Round(v/unit)*unit, 0
	}
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	whole, part, _ := strings.Cut(text, ".")
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "\u2212", whole[1:]
	}
	for at := len(whole) - 3; at > 0; at -= 3 {
		whole = whole[:at] + "\u202f" + whole[at:]
	}
	if part != "" {
		part = "." + part
	}
	if strings.Trim(whole+part, "0.\u202f") == "" {
		sign = ""
	}
	return sign + whole + part
}

// asTyped writes a number that a person wrote down, without the digits nobody wrote.
func asTyped(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
}
