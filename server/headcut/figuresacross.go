package main

import (
	"cmp"
	"fmt"
	"io"
	"strconv"

	"headcut/model"
	"headcut/model/figures"
)

// printCrossSection prints the levels across a gully, the run that has them, and what they hold.
func printCrossSection(w io.Writer, c figures.CrossSection) {
	head := "Cross-section"
	if c.Name != "" {
		head += " " + c.Name
	}
	if c.BookedM != nil {
		head += fmt.Sprintf(" at chainage %.1f m", *c.BookedM)
	}
	head += ", by " + cmp.Or(c.RunName, "an unnamed level run")
	if c.ObservedOn != "" {
		head += " of " + model.DayInWords(c.ObservedOn)
	}
	lines := [][]string{{"offset m", "level m"}}
	for _, p := range c.Points {
		lines = append(lines, []string{strconv.FormatFloat(p.OffsetM, 'f', 2, 64), strconv.FormatFloat(p.LevelM, 'f', 3, 64)})
	}
	printPart(w, head+", looking downstream, left negative", columned(lines))
	if c.Brink != nil {
		fmt.Fprintf(w, "  up to its lower brink %s\n", fillWords(*c.Brink))
	}
	for _, n := range c.Notches {
		planned := ""
		if n.Planned {
			planned = ", as planned,"
		}
		fmt.Fprintf(w, "  up to the crest of %s%s %s\n", cmp.Or(n.Name, n.Dam), planned, fillWords(n.AcrossFill))
	}
	for _, note := range c.Notes {
		fmt.Fprintf(w, "  %s\n", note)
	}
}

// fillWords is what lies below a level across, with each ±.
func fillWords(f figures.AcrossFill) string {
	value := func(v float64, plusMinus *float64) string {
		if plusMinus == nil || *plusMinus <= 0 {
			return strconv.FormatFloat(v, 'f', 2, 64)
		}
		places := placesOf(*plusMinus)
		return strconv.FormatFloat(v, 'f', places, 64) + " ± " + strconv.FormatFloat(*plusMinus, 'f', places, 64)
	}
	return fmt.Sprintf("at %.2f m: %s m deep, %s m wide, %s m² below", f.LevelM, value(f.DepthM, f.DepthPlusMinusM), value(f.WidthM, f.WidthPlusMinusM), value(f.AreaM2, f.AreaPlusMinusM2))
}
