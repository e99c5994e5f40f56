package compute

import (
	"slices"
	"strconv"
	"strings"

	"headcut/model"
)

// Explain is the computation's description in plain text, for a terminal: what it does,
// its inputs and outputs with their units, its limits, cautions and sources.
func (c Computation) Explain() string {
	c.Doc = c.whole()
	var b strings.Builder
	b.WriteString(c.Name + "\n  " + c.Summary + "\n")
	b.WriteString("\nInputs (those marked * are required)\n")
	list(&b, c.Inputs(), 1, true)
	b.WriteString("\nOutputs\n")
	list(&b, c.Outputs(), 1, false)
	paragraphs(&b, "Digits", []string{Digits})
	if len(c.Takes) > 0 {
		paragraphs(&b, "Takes as input too", []string{"the whole answer of " + strings.Join(c.Takes, ", or of ") + ", with what else is needed beside"})
	}
	paragraphs(&b, "Limits", c.Limits)
	paragraphs(&b, "Work", []string{"grows as " + string(c.Growth) + " at worst with the length of the input; what would take more than " + strconv.Itoa(MaxSteps/1_000_000) +
		" million steps, or answer far more than it was given, is refused"})
	paragraphs(&b, "Rules", c.Rules)
	paragraphs(&b, "Cautions", c.Cautions)
	sources := model.Each(c.Sources, model.Source.String)
	paragraphs(&b, "Sources", sources)
	return b.String()
}

func list(b *strings.Builder, parameters []Parameter, depth int, inputs bool) {
	for _, p := range parameters {
		b.WriteString(strings.Repeat("  ", depth) + p.Name)
		if inputs && p.Required {
			b.WriteString("*")
		}
		b.WriteString("  " + p.Type)
		if unit := model.UnitInWords(p.Unit); unit != "" { // a plain count says so by its type
			b.WriteString(", " + unit)
		}
		if p.Choices != nil {
			b.WriteString(" (" + strings.Join(p.Choices, ", ") + ")")
		}
		if p.Doc != "" {
			b.WriteString(": " + p.Doc)
		}
		b.WriteString("\n")
		list(b, p.Fields, depth+1, inputs)
	}
}

// once keeps each where it first stands.
func once[T comparable](all []T) []T {
	kept := all[:0]
	for _, one := range all {
		if !slices.Contains(kept, one) {
			kept = append(kept, one)
		}
	}
	return kept
}

func paragraphs(b *strings.Builder, heading string, lines []string) {
	if len(lines) == 0 {
		return
	}
	b.WriteString("\n" + heading + "\n")
	for _, line := range lines {
		b.WriteString("  " + line + "\n")
	}
}
