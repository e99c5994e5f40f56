package levelling

import (
	"math"
	"strconv"

	"headcut/model"
)

// tenths is a height in tenths of a millimetre, the unit in which a book is reduced.
type tenths int64

const perMetre = 10_000

// HighestM bounds every level and reading, up and down: nothing on earth is levelled
// beyond it, and sums of readings stay far inside an int64.
const HighestM = 12_000

// exact reads metres as tenths of a millimetre. It refuses what has finer digits, which
// no staff is read to, rather than drop them. The caller says where the number stands.
func exact(metres float64) (tenths, *model.Problem) {
	if p := checkLevel("", metres); p != nil {
		return 0, p
	}
	scaled := metres * perMetre
	whole := math.Round(scaled)
	// The double nearest to a decimal of tenths is within 2 parts in 10^16 of it, that is
	// within 3e-8 of a tenth at HighestM; a real fifth digit is at least 1e-3 away.
	if math.Abs(scaled-whole) > 1e-6 {
		return 0, &model.Problem{Reason: text(metres) + " m is finer than 0.1 mm", Fix: "book what was read: no staff is read closer than a tenth of a millimetre"}
	}
	return tenths(whole), nil
}

// nearest rounds metres to tenths of a millimetre, halves away from nought.
func nearest(metres float64) tenths { return tenths(math.Round(metres * perMetre)) }

func (t tenths) metres() float64 { return float64(t) / perMetre }

// millimetres is how far off a level is, as officers say it: to the tenth of one.
func (t tenths) millimetres() string {
	if t < 0 {
		return "−" + (-t).millimetres()
	}
	return strconv.FormatFloat(float64(t)*1000/perMetre, 'f', 1, 64) + " mm"
}

// String is the height as the trade writes it: metres to the millimetre, and to the tenth
// of one where there is one.
func (t tenths) String() string {
	if t%10 == 0 {
		return strconv.FormatFloat(t.metres(), 'f', 3, 64)
	}
	return strconv.FormatFloat(t.metres(), 'f', 4, 64)
}

// readable is half a millimetre: less cannot be set out on the ground.
const readable = 5

// onStaff is the height to the millimetre, as one finds it with a staff.
func (t tenths) onStaff() string { return model.ToMillimetre(t.metres()) }

func text(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
