package planning

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"headcut/model"
	"headcut/model/followup"
	"headcut/model/recorded"
)

// Proposed are the works of a kind that are planned and not built yet.
type Proposed struct {
	Kind     string         `json:"kind"`
	Proposed int            `json:"proposed"`
	Pegged   int            `json:"pegged"`
	Figures  []model.Figure `json:"figures"`        // their lengths or areas together
	Takes    []Taken        `json:"takes"`          // by their plans
	Without  int            `json:"without"`        // works of which no plan says what they take
	Bill     *Bill          `json:"bill,omitempty"` // none where the property has no rates
}

// Taken is how much of something works take together.
type Taken struct {
	What   string  `json:"what"`
	Amount float64 `json:"amount"`
}

// total counts the proposed works by kind, with what is known of their size.
func (o *ordering) total() {
	for _, kind := range model.Kinds {
		t := Proposed{Kind: kind.Name, Figures: []model.Figure{}, Takes: []Taken{}}
		var sized [2]model.Figure
		var squares [2]float64
		var of [2]int
		for _, w := range o.works {
			if w.Kind != kind.Name {
				continue
			}
			switch w.Status() {
			case model.Proposed:
				t.Proposed++
			case model.Pegged:
				t.Pegged++
			default:
				continue
			}
			for i, name := range []string{"lengthM", "areaM2"} {
				if f, ok := o.p.Sheet(w).Figure(name); ok {
					f.Value += sized[i].Value
					squares[i] = model.JointPlusMinus(squares[i], plusMinusOf(f))
					f.PlusMinus = model.Known(squares[i])
					sized[i] = f
					of[i]++
				}
			}
			t.take(w)
		}
		n := t.Proposed + t.Pegged
		if n == 0 {
			continue
		}
		for i := range sized {
			if of[i] == n && (i == 1 || of[1] == 0) { // a boundary's length is no quantity of an area
				t.Figures = append(t.Figures, ending(sized[i]))
			}
		}
		o.Proposed = append(o.Proposed, t)
	}
	o.bill()
}

// ending is a figure with the digits that it deserves.
func ending(f model.Figure) model.Figure {
	scale := math.Pow10(followup.Decimals(f))
	f.Value = math.Round(f.Value*scale) / scale
	if f.PlusMinus != nil {
		f.PlusMinus = new(math.Round(*f.PlusMinus*scale) / scale)
	}
	return f
}

// take adds what a work takes by its plan, as adopting wrote it down: "1.20 m³ of rock, 2 posts".
func (t *Proposed) take(w *recorded.Item) {
	if taking(w) == nil {
		t.Without++
		return
	}
	for part := range strings.SplitSeq(w.Text("takes"), ", ") {
		number, what, _ := strings.Cut(part, " ")
		amount, _ := strconv.ParseFloat(number, 64)
		if one := map[string]string{"post": "posts", "bale": "bales"}[what]; one != "" {
			what = one
		}
		i := 0
		for i < len(t.Takes) && t.Takes[i].What != what {
			i++
		}
		if i == len(t.Takes) {
			t.Takes = append(t.Takes, Taken{What: what})
		}
		t.Takes[i].Amount = rounded(t.Takes[i].Amount + amount)
	}
}

// withPlusMinus is a figure's value with its ±.
func withPlusMinus(f model.Figure, decimals int) string {
	text := strconv.FormatFloat(f.Value, 'f', decimals, 64)
	if f.PlusMinus != nil {
		text = fmt.Sprintf("%s ± %s", text, strconv.FormatFloat(*f.PlusMinus, 'f', decimals, 64))
	}
	return text
}
