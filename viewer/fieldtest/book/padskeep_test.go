package book

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// A number that a pad takes is evidence: whatever is keyed on any pegging pad is in the
// entries that its peg saves, in the peg's fields or in its row of the level book.
func TestPadsKeepEveryNumber(t *testing.T) {
	t.Parallel()
	for _, pad := range []struct {
		name string
		open func(*phone.Phone)
		keys []string // of the boxes, in the order in which they stand
		said string
	}{
		{"the first dam", dams, []string{"1.835", "7.25"}, "Dam 1 pegged"},
		{"a dam above one without a chainage", func(p *phone.Phone) {
			dams(p)
			bookReading(p, "1.835")
			p.WaitSaid("Dam 1 pegged")
			p.TapSelector(".boxes .numberbox:last-child input")
		}, []string{"1.435", "12.5"}, "Dam 2 pegged"},
		{"a dam above a crest that is typed", func(p *phone.Phone) {
			dams(p)
			pick(p)
			p.Tap("Type its level")
			p.WaitText("Level of the crest below")
			key(p, "100.407")
			p.TapSelector(".boxes .numberbox:last-child input")
		}, []string{"1.435", "100.407", "12.5"}, "Dam 1 pegged"},
		{"a contour", func(p *phone.Phone) {
			pegOut(p, "A contour: rip line or windrow")
			chooseLine(p, "Top line")
		}, []string{"1.655", "7.25"}, "Peg 1 of Top line saved"},
		{"the top of a slope", whoaBoys, []string{"0.5", "7.25"}, "Top of the slope booked"},
		{"a whoa-boy below it", func(p *phone.Phone) {
			whoaBoys(p)
			bookReading(p, "0.5")
			p.WaitSaid("Top of the slope booked")
		}, []string{"2.7", "12.5"}, "Whoa-boy 1 pegged"},
	} {
		t.Run(pad.name, func(t *testing.T) {
			t.Parallel()
			p := enrolled(t, land(t))
			pad.open(p)
			boxes := `document.querySelectorAll(".boxes .numberbox input")`
			p.WaitFor(fmt.Sprintf(`%s.length === %d`, boxes, len(pad.keys)))
			before := len(p.Office.Entries(property))
			for i, number := range slices.Backward(pad.keys) { // the reading last: a box that stays empty may go with it
				p.TapSelector(fmt.Sprintf(".boxes .numberbox:nth-child(%d) input", i+1))
				clear(p)
				clear(p)
				key(p, number)
			}
			p.Screenshot("pad-" + strings.ReplaceAll(pad.name, " ", "-"))
			saves := phone.Eval[string](p.Page, `document.querySelector(".saves").innerText`)
			enter(p)
			p.WaitSaid(pad.said)
			deadline := time.Now().Add(phone.Patience)
			for {
				wrote := ""
				for _, e := range p.Office.Entries(property)[before:] {
					for name, raw := range e.Set.All() {
						if name == "rows" || strings.HasSuffix(name, "M") {
							wrote += " " + string(raw)
						}
					}
				}
				var missing []string
				for _, number := range pad.keys {
					if !holds(wrote, number) {
						missing = append(missing, number)
					}
				}
				if len(missing) == 0 {
					break
				}
				if time.Now().After(deadline) {
					t.Fatalf("%v was keyed and is in no entry:%s", missing, wrote)
				}
				time.Sleep(50 * time.Millisecond)
			}
			for _, number := range pad.keys[1:] { // of the reading the level is said
				if !holds(saves, number) {
					t.Errorf("%s was keyed, and the pad said only %q", number, saves)
				}
			}
		})
	}
}

func dams(p *phone.Phone) {
	pegOut(p, "Check dams, toe by toe")
	p.WaitText("no crest: the first dam")
}

func whoaBoys(p *phone.Phone) {
	pegOut(p, "Whoa-boys down a track")
	p.WaitText("Staff at the top of the slope")
	chooseLine(p, "Ridge track")
}

// unfold opens what is folded away under a title.
func unfold(p *phone.Phone, title string) {
	phone.Eval[bool](p.Page, fmt.Sprintf(`([...document.querySelectorAll("main details.fold")].find(d => d.querySelector("summary").innerText === %q).open = true, true)`, title))
}

var aNumber = regexp.MustCompile(`-?\d+(\.\d+)?`)

// holds tells whether a text has a number.
func holds(text, number string) bool {
	want, _ := strconv.ParseFloat(number, 64)
	for _, found := range aNumber.FindAllString(text, -1) {
		if got, err := strconv.ParseFloat(found, 64); err == nil && math.Abs(got-want) < 1e-9 {
			return true
		}
	}
	return false
}

// A distance taped from a dam without a chainage is said over the pad and kept; the chainage
// follows once that of the dam below is taped, and the spacing never asks for a tape.
func TestTapedUpFromADamWithoutAChainage(t *testing.T) {
	t.Parallel()
	for _, size := range [][2]int64{{390, 844}, {320, 640}} {
		t.Run(fmt.Sprint(size), func(t *testing.T) {
			t.Parallel()
			p := enrolled(t, land(t), phone.Size(size[0], size[1]))
			dams(p)
			p.Stand(here)
			p.WaitText("Position ±4 m")
			bookReading(p, "1.835")
			p.WaitSaid("Dam 1 pegged")
			p.TapSelector(".boxes .numberbox:last-child input")
			key(p, "12.5")
			p.TapSelector(".boxes .numberbox:first-child input")
			key(p, "1.435")
			p.WaitText("12.5 m up from Dam 1")
			p.CheckFit("a taped distance")
			p.Screenshot(fmt.Sprintf("taped-up-%d", size[0]))
			enter(p)
			p.WaitSaid("Dam 2 pegged")
			rows := waitSent(t, p, 3, false)
			lower, upper := rows[1].Feature, rows[2].Feature
			if got := fieldsAtOffice(p, upper); got["fromBelowM"] != 12.5 || got["fromBelowBasis"] != "taped" || got["damBelow"] != lower || got["chainageM"] != nil || rows[2].Remark != "taped 12.5 m up from the toe of Dam 1" {
				t.Errorf("the office has %v, row %+v, want 12.5 m taped from %s", got, rows[2], lower)
			}
			p.Go("#/thing/" + lower)
			p.WaitHeading("Dam 1")
			p.WaitText("12.50 ± 0.05 m")
			if words := p.Text(); strings.Contains(words, "tape it before") {
				t.Errorf("a spacing that was taped asks for a tape: %s", words)
			}
			p.Screenshot(fmt.Sprintf("taped-up-spacing-%d", size[0]))
			p.Go("#/thing/" + upper)
			p.WaitHeading("Dam 2")
			p.WaitText("Up from the dam below")
			p.Go("#/thing/" + upper + "/edit")
			p.WaitHeading("Edit Dam 2")
			unfold(p, "More about it")
			p.WaitFor(`[...document.querySelectorAll("main .input input")].some(e => e.value === "12.5")`)
		})
	}
}
