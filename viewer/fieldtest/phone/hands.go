package phone

// Hand is a phone as it lies in a hand: its window in CSS pixels, and whether its text is
// twice as large as usual.
type Hand struct {
	Name          string
	Width, Height int64
	Big           bool
}

// Hands are those that every screen must fit.
var Hands = []Hand{
	{"usual", 412, 800, false},
	{"smallest", 320, 640, false},
	{"big-text", 412, 800, true},
}
