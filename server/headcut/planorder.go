package main

import (
	"cmp"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"headcut/model"
	"headcut/model/followup"
	"headcut/model/planning"
	"headcut/model/recorded"
	"headcut/server"
)

// planOrder prints what to do first on a property.
func planOrder(ctx context.Context, c *call, data, property, format string) error {
	var got server.Ordered
	if err := ask(ctx, data, http.MethodGet, "/office/order?"+url.Values{"property": {property}}.Encode(), nil, &got); err != nil {
		return err
	}
	switch format {
	case "json":
		return printJSON(c.stdout, got)
	case "csv":
		return writeOrderCSV(c.stdout, got)
	}
	printOrder(printed{c.stdout}, got)
	return nil
}

// stepHeads are what stands above the places of each step.
var stepHeads = map[string]string{"prevention": "Prevention, and the cause upslope", "water": "Water at the heads", "grass": "Grass on bare ground", "structures": "The gully's floor"}

func printOrder(w io.Writer, got server.Ordered) {
	fmt.Fprintf(w, "Order of works on %s on %s\n\n", got.Property.Name, model.DayInWords(got.On.String()))
	if len(got.Places) == 0 {
		fmt.Fprintln(w, "No eroding place is recorded.")
	}
	step := ""
	for i, p := range got.Places {
		if p.Step != step {
			step = p.Step
			fmt.Fprintf(w, "%s:\n", stepHeads[step])
		}
		fmt.Fprintf(w, "  %d. %s\n", i+1, featureName(p.Kind, p.Name, p.Feature))
		for _, part := range []struct {
			head  string
			lines []string
		}{{"Why", p.Why}, {"First", p.First}, {"Works", placeWorksWords(p.Works)}, {"Not known", p.Record}} {
			for k, line := range part.lines {
				head := part.head + ":"
				if k > 0 {
					head = ""
				}
				fmt.Fprintf(w, "     %-10s %s\n", head, line)
			}
		}
	}
	printPart(w, "Planned and not built", model.Each(got.Proposed, proposedWords))
	printPart(w, "Hours and cost of what is planned", billLines(got))
	printPart(w, "Spent on what was built", spentLines(got.Spent))
	printPart(w, "Left out", model.Each(got.LeftOut, func(l planning.LeftOut) string {
		return featureName(l.Kind, l.Name, l.Feature) + ": " + l.Why
	}))
	printPart(w, "Whose order", []string{got.Rule})
	printPart(w, "Mind", model.Each(got.Cautions, func(c model.Caution) string { return c.Text }))
}

// placeWorksWords are the works of a place in a line, none where there are none.
func placeWorksWords(all []planning.PlaceWorks) []string {
	if len(all) == 0 {
		return nil
	}
	return []string{strings.Join(model.Each(all, func(one planning.PlaceWorks) string {
		known := recorded.KindOf(one.Kind)
		return many(one.Count, strings.ToLower(known.Label), strings.ToLower(known.Plural)) + " " + string(one.Status)
	}), ", ")}
}

func proposedWords(p planning.Proposed) string {
	var parts []string
	if p.Proposed > 0 {
		parts = append(parts, fmt.Sprintf("%d proposed", p.Proposed))
	}
	if p.Pegged > 0 {
		parts = append(parts, fmt.Sprintf("%d pegged", p.Pegged))
	}
	for _, f := range p.Figures {
		parts = append(parts, figureWords(followup.Figure{Figure: f}))
	}
	for _, t := range p.Takes {
		what := t.What
		if t.Amount == 1 {
			what = strings.TrimSuffix(what, "s")
		}
		parts = append(parts, plainNumber(&t.Amount)+" "+what)
	}
	if len(p.Takes) > 0 && p.Without > 0 {
		parts = append(parts, fmt.Sprintf("without %d of which no plan says what they take", p.Without))
	}
	return recorded.KindOf(p.Kind).Plural + ": " + strings.Join(parts, ", ")
}

// billLines are the hours and costs of what is planned, by kind and together; what is not known is counted.
func billLines(got server.Ordered) []string {
	if len(got.Proposed) == 0 {
		return nil
	}
	if got.Bill == nil {
		return []string{got.NoRates}
	}
	words := func(b planning.Bill) string {
		var parts []string
		one := func(sum *float64, unit, what string, lacking int) {
			switch {
			case sum == nil:
				parts = append(parts, what+" not known")
			case lacking > 0:
				parts = append(parts, fmt.Sprintf("%.2f %s at the least: of %d of %d works not known, or not in full", *sum, unit, lacking, b.Works))
			default:
				parts = append(parts, fmt.Sprintf("%.2f %s", *sum, unit))
			}
		}
		one(b.Hours, "h", "hours", b.NoHours)
		one(b.Cost, cmp.Or(got.Currency, "in units not recorded"), "cost", b.NoCost)
		return strings.Join(parts, "; ")
	}
	lines := model.Each(got.Proposed, func(p planning.Proposed) string {
		return recorded.KindOf(p.Kind).Plural + ": " + words(*p.Bill)
	})
	return append(lines, "Together: "+words(*got.Bill))
}

// writeOrderCSV writes all rows into one table, for a program: part says what a row is of.
func writeOrderCSV(w io.Writer, got server.Ordered) error {
	lines := [][]string{{"place", "step", "feature", "kind", "name", "part", "text", "value", "plusMinus", "unit"}}
	for i, p := range got.Places {
		row := func(part, text, value string) {
			lines = append(lines, []string{strconv.Itoa(i + 1), p.Step, cell(p.Feature), cell(p.Kind), cell(p.Name), part, cell(text), value, "", ""})
		}
		for _, part := range []struct {
			name  string
			lines []string
		}{{"why", p.Why}, {"first", p.First}, {"not known", p.Record}} {
			for _, text := range part.lines {
				row(part.name, text, "")
			}
		}
		for _, one := range p.Works {
			row("works", one.Kind+" "+string(one.Status), strconv.Itoa(one.Count))
		}
	}
	for _, p := range got.Proposed {
		row := func(part, text, value, plusMinus, unit string) {
			lines = append(lines, []string{"", "", "", p.Kind, "", part, cell(text), value, plusMinus, unit})
		}
		row("total", string(model.Proposed), strconv.Itoa(p.Proposed), "", "1")
		row("total", string(model.Pegged), strconv.Itoa(p.Pegged), "", "1")
		for _, f := range p.Figures {
			row("total", f.Name, plainNumber(&f.Value), plainNumber(f.PlusMinus), f.Unit)
		}
		for _, t := range p.Takes {
			row("total", t.What, plainNumber(&t.Amount), "", "")
		}
		if b := p.Bill; b != nil {
			row("total", "hours", plainNumber(b.Hours), "", "h")
			row("total", "works without hours", strconv.Itoa(b.NoHours), "", "1")
			row("total", "cost", plainNumber(b.Cost), "", got.Currency)
			row("total", "works without cost", strconv.Itoa(b.NoCost), "", "1")
		}
	}
	for _, l := range got.LeftOut {
		lines = append(lines, []string{"", "", cell(l.Feature), cell(l.Kind), cell(l.Name), "left out", cell(l.Why), "", "", ""})
	}
	text := func(part, text string) {
		lines = append(lines, []string{"", "", "", "", "", part, text, "", "", ""})
	}
	if got.Bill == nil && len(got.Proposed) > 0 {
		text("costs", got.NoRates)
	}
	spentRows(got.Spent, func(kind, what, amount, unit, note string, _ []string) {
		lines = append(lines, []string{"", "", "", kind, "", "spent", what + ", " + note, amount, "", unit})
	})
	text("whose order", got.Rule)
	for _, c := range got.Cautions {
		text("mind", c.Text)
	}
	return csv.NewWriter(w).WriteAll(lines)
}
