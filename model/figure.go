package model

// Basis is what a figure was measured with, best first. A figure that rests on several
// measurements has the basis of the weakest of them.
type Basis string

// The bases of a figure.
const (
	Levelled Basis = "levelled" // dumpy or laser level and staff
	Taped    Basis = "taped"    // tape, chain or measuring wheel on the ground
	GPS      Basis = "GPS"      // positions of a phone or handheld
	Unproven Basis = "unproven" // from a level run that does not close, or nobody said how
)

// Bases lists every basis, best first.
var Bases = []Basis{Levelled, Taped, GPS, Unproven}

// Weakest returns the basis of a figure that rests on all of these; Unproven when there
// are none or one is not a basis.
func Weakest(bases ...Basis) Basis {
	worst := -1
	for _, b := range bases {
		rank := len(Bases) - 1
		for i, known := range Bases {
			if b == known {
				rank = i
			}
		}
		worst = max(worst, rank)
	}
	if worst < 0 {
		return Unproven
	}
	return Bases[worst]
}

// Figure is a computed value and how good it is. PlusMinus is one standard deviation in
// the figure's own unit; a negative PlusMinus means that it could not be worked out.
type Figure struct {
	Name      string  `json:"name"`  // as a field is named, with its unit: "lengthM"
	Label     string  `json:"label"` // as a person reads it: "Length"
	Value     float64 `json:"value"`
	Unit      string  `json:"unit"` // UCUM code: "m", "m2", "%"; "1" for a plain number
	PlusMinus float64 `json:"plusMinus"`
	Basis     Basis   `json:"basis"`
	Rule      string  `json:"rule"` // the computation it comes from, and the source of its rule
}

// Caution is a sentence about safety, permits or a rule's limits, shown wherever the
// figure or the work it is tied to is used on the ground.
type Caution struct {
	About string `json:"about" doc:"the figure, field or check it is tied to, empty for the whole"`
	Text  string `json:"text" doc:"the sentence"`
}

// Verdict is what a check of a work found.
type Verdict string

// The verdicts of a check.
const (
	Holds       Verdict = "holds"
	Fails       Verdict = "fails"
	NotLevelled Verdict = "not levelled" // only a level run could tell
)

// Verdicts lists every verdict.
var Verdicts = []Verdict{Holds, Fails, NotLevelled}

// Check is the outcome of testing a work against a rule, in plain words.
type Check struct {
	Name    string  `json:"name"` // the computation that judged: "dam-check"
	Verdict Verdict `json:"verdict"`
	Text    string  `json:"text"` // "The crest is 0.18 m below the toe of dam 5 upstream: a gap."
	Rule    string  `json:"rule"`
}
