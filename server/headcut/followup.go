package main

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"headcut/model"
	"headcut/model/followup"
	"headcut/model/monitor"
	"headcut/model/recorded"
	"headcut/server"
)

var followUpCommand = command{
	data: true, name: "follow-up", args: "--data DIR --property NAME [--years YEARS] [--kind KIND] [--storm DAY=MM]… [--format FORMAT]", summary: "print what is due for a look, and how works did",
	help: `
Prints of a property, from what visits found:

  what is due   works and heads not visited since the wet, since a storm or at all, works found to need
                work, and ground whose cover counts at the end of a season
  heads         how far each cut back, how fast, and whether that is more than measurement error
  edges         how much a gully's edge grew that was walked round again under the same name
  silt, cover   the change from year to year, and whether it is more than measurement error
  condition     of the works that were visited, by kind and material, and by age in wet seasons
  spent         hours and costs of the works that were built, as recorded with each

The wet season and the rain of a day that counts as a storm are those of the property's settings; the
usual season is taken, and said, where none is set. A file with a feature of the kind settings sets them: wetFirstMonth,
wetLastMonth, stormThresholdMm. Nothing tells the register how much it rained:
give it with --storm. --years counts what was found in these years, and compares with the last
measurement before them. What does not count, such as a visit to a work that was struck out or one that
two people recorded differently, is listed with the reason.

    headcut follow-up --data DIR --property NAME --years 2024-2026 --storm 2026-02-11=85`,
	run: runFollowUp,
}

func runFollowUp(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	property := f.String("property", "", "`NAME` the property")
	r := server.FollowUpRequest{}
	f.Func("years", "`YEARS` one year or the first and the last, as 2024-2026; all if not given", func(text string) (err error) {
		r.From, r.To, err = yearsOf(text)
		return err
	})
	f.StringVar(&r.Kind, "kind", "", "`KIND` only this kind, as exports name it: check-dam")
	f.Func("storm", "`DAY=MM` the rain of a day, as 2026-02-11=85; may be given several times", func(text string) error {
		storm, err := stormOf(text)
		r.Storms = append(r.Storms, storm)
		return err
	})
	format := f.String("format", "text", "`FORMAT` text, json or csv")
	if err := c.parse(f); err != nil {
		return err
	}
	switch {
	case *data == "" || *property == "" || len(c.args) > 0:
		return c.misused("say --data DIR --property NAME")
	case !slices.Contains(planFormats, *format):
		return c.misused("--format is text, json or csv, not %q", *format)
	}
	r.Property = *property
	got, err := post[server.FollowedUp](ctx, *data, "/office/follow-up", r)
	if err != nil {
		return err
	}
	switch *format {
	case "json":
		return printJSON(c.stdout, got)
	case "csv":
		return writeFollowUpCSV(c.stdout, got)
	}
	printFollowUp(printed{c.stdout}, got)
	return nil
}

func yearsOf(text string) (from, to int, err error) {
	first, last, both := strings.Cut(text, "-")
	if !both {
		last = first
	}
	year := func(text string) int {
		day, failed := monitor.ParseDay(text + "-01-01")
		if failed != nil {
			err = &model.Problem{Reason: text + " is not a year", Fix: "write one year or two, as 2024-2026"}
		}
		return day.Year()
	}
	return year(first), year(last), err
}

func stormOf(text string) (storm followup.Storm, err error) {
	day, mm, _ := strings.Cut(text, "=")
	if storm.On, err = monitor.ParseDay(day); err != nil {
		return storm, err
	}
	if storm.RainMm, err = strconv.ParseFloat(mm, 64); err != nil || math.IsNaN(storm.RainMm) || math.IsInf(storm.RainMm, 0) {
		return storm, &model.Problem{Reason: strconv.Quote(mm) + " is no rain", Fix: "write the day and its millimetres, as 2026-02-11=85"}
	}
	return storm, nil
}

// noiseWords are whether a change is more than measurement error.
var noiseWords = map[monitor.Answer]string{
	monitor.Yes: "more than measurement error", monitor.No: "no more than measurement error", monitor.CannotTell: "whether it changed cannot be said: the ± is not known",
}

func printFollowUp(w io.Writer, got server.FollowedUp) {
	fmt.Fprintf(w, "Follow-up of %s on %s%s\n\n", got.Property.Name, model.DayInWords(got.On.String()), askedWords(got))
	if len(got.Due) == 0 {
		fmt.Fprintln(w, "Nothing is due for a look.")
	}
	printPart(w, "Due for a look", columned(model.Each(got.Due, func(d followup.Due) []string {
		reasons := model.Each(d.Reasons, func(r followup.Reason) string { return r.Text })
		return []string{featureName(d.Kind, d.Name, d.Feature), strings.Join(reasons, "; ")}
	})))
	var heads []string
	for _, h := range got.Heads {
		heads = append(heads, headLines(h)...)
	}
	printPart(w, "Gully heads", heads)
	var edges []string
	for _, e := range got.Edges {
		edges = append(edges, edgeLines(e)...)
	}
	printPart(w, "Gully edges walked again", edges)
	printPart(w, "Silt caught", changeLines(got.Silt))
	printPart(w, "Ground cover", changeLines(got.Cover))
	printPart(w, "Condition of works", heldLines(got.Held))
	printPart(w, "Condition by age", ageLines(got.Ages))
	printPart(w, "Spent", spentLines(got.Spent))
	printPart(w, "Left out", model.Each(got.LeftOut, leftOutLine))
	printPart(w, "Mind", model.Each(got.Cautions, func(c model.Caution) string { return c.Text }))
}

func askedWords(got server.FollowedUp) string {
	text := ""
	switch {
	case got.From == 0:
	case got.From == got.To:
		text = fmt.Sprintf(", of %d", got.From)
	default:
		text = fmt.Sprintf(", of %d to %d", got.From, got.To)
	}
	if kind, ok := model.KindNamed(got.Kind); ok {
		text += ", of " + strings.ToLower(kind.Plural)
	}
	return text
}

func headLines(h followup.Head) []string {
	lines := overYears(h.Named, h.Since, h.Last, h.Why, retreatWords)
	if h.Since == nil {
		return lines
	}
	if h.Trend != nil {
		lines = append(lines, fmt.Sprintf("  by all visits %s: %s", figureWords(h.Trend.Rate), noiseWords[h.Trend.MoreThanNoise]))
	}
	for _, c := range h.Cautions {
		lines = append(lines, "  "+c.Text)
	}
	return lines
}

func retreatWords(r followup.Retreat) string {
	gone, way := r.Retreat, "up the gully"
	if r.Retreat.Basis != model.Taped {
		way = "from where it was"
	} else if gone.Value < 0 {
		gone.Value, way = -gone.Value, "down the gully"
	}
	text := fmt.Sprintf("%s %s from %s to %s, %s", figureWords(gone), way, model.DayInWords(r.From.String()), model.DayInWords(r.To.String()), r.Retreat.Basis)
	if r.Rate != nil {
		text += ", " + figureWords(*r.Rate)
	}
	return text + ": " + noiseWords[r.MoreThanNoise]
}

func edgeLines(e followup.Edge) []string {
	return overYears(e.Named, e.Since, e.Last, e.Why, growthWords)
}

// overYears says what changed since the first day that counts and, of that, since the last but one; or why that
// is not known.
func overYears[T any](of recorded.Named, since, last *T, why string, words func(T) string) []string {
	name := featureName(of.Kind, of.Name, of.Feature)
	if since == nil {
		return []string{name + ": " + why}
	}
	lines := []string{name + ": " + words(*since)}
	if last != nil {
		lines = append(lines, "  of that "+words(*last))
	}
	return lines
}

func growthWords(g followup.Growth) string {
	text := fmt.Sprintf("%s more from %s to %s, %s", figureWords(g.Growth), model.DayInWords(g.From.String()), model.DayInWords(g.To.String()), g.Growth.Basis)
	if g.Rate != nil {
		text += ", " + figureWords(*g.Rate)
	}
	return text + ": " + noiseWords[g.MoreThanNoise]
}

func changeLines(all []followup.Change) []string {
	lines := columned(model.Each(all, func(c followup.Change) []string {
		reading := func(r followup.Reading) string {
			return fmt.Sprintf("%s on %s", figureWords(r.Figure), model.DayInWords(r.On.String()))
		}
		change := figureWords(c.Change)
		if c.Change.Value > 0 {
			change = "+" + change
		}
		return []string{featureName(c.Kind, c.Name, c.Feature), reading(c.Before), reading(c.After), change, noiseWords[c.MoreThanNoise]}
	}))
	var out []string
	for i, c := range all {
		out = append(out, lines[i])
		for _, note := range c.Notes {
			out = append(out, "  "+note)
		}
	}
	return out
}

// foundWords are how many works were found how.
func foundWords(f followup.Found) string {
	var words []string
	for _, one := range []struct {
		n    int
		what model.Condition
	}{{f.Sound, model.Sound}, {f.Healed, model.Healed}, {f.NeedsWork, model.NeedsWork}, {f.Failed, model.HasFailed}} {
		if one.n > 0 {
			words = append(words, fmt.Sprintf("%d %s", one.n, one.what))
		}
	}
	return strings.Join(words, ", ")
}

func pluralOf(kind string) string {
	known, _ := model.KindNamed(kind)
	return known.Plural
}

func heldLines(all []followup.Held) []string {
	return columned(model.Each(all, func(h followup.Held) []string {
		name := pluralOf(h.Kind)
		if h.Material != "" {
			name += " of " + h.Material
		}
		if h.Works() == 0 {
			return []string{name, fmt.Sprintf("%d built, none judged", h.Built)}
		}
		return []string{name, fmt.Sprintf("%d built, %d judged", h.Built, h.Works()), foundWords(h.Found)}
	}))
}

func ageLines(all []followup.Age) []string {
	return columned(model.Each(all, func(a followup.Age) []string {
		return []string{pluralOf(a.Kind), "after " + many(a.WetSeasons, "wet season", "wet seasons"), foundWords(a.Found)}
	}))
}

func leftOutLine(l followup.LeftOut) string {
	name := featureName(l.Kind, l.Name, l.Feature)
	if l.Visit != "" {
		name = "Visit to " + strings.ToLower(name[:1]) + name[1:]
	}
	if l.On != "" {
		name += ", " + model.DayInWords(l.On)
	}
	return name + ": " + l.Why
}

var followUpColumns = []string{"part", "feature", "kind", "name", "from", "to", "figure", "value", "plusMinus", "unit", "basis", "origin", "moreThanNoise", "text", "restsOn"}

// writeFollowUpCSV writes all rows into one table, for a program: part says what a row is of.
func writeFollowUpCSV(w io.Writer, got server.FollowedUp) error {
	lines := [][]string{followUpColumns}
	row := func(part string, n recorded.Named, rest ...string) {
		lines = append(lines, append([]string{part, n.Feature, cell(n.Kind), cell(n.Name)}, rest...))
	}
	figure := func(part string, n recorded.Named, from, to monitor.Day, f followup.Figure, noise monitor.Answer, text string) {
		row(part, n, from.String(), to.String(), f.Name, plainNumber(&f.Value), plainNumber(f.PlusMinus), f.Unit, string(f.Basis), string(f.Origin), string(noise), text, strings.Join(f.From, " "))
	}
	for _, d := range got.Due {
		for _, r := range d.Reasons {
			row("due", d.Named, d.Since, "", string(r.Why), "", "", "", "", "", "", r.Text, strings.Join(r.From, " "))
		}
	}
	for _, h := range got.Heads {
		if h.Since == nil {
			row("heads", h.Named, "", "", "", "", "", "", "", "", "", h.Why, "")
			continue
		}
		figure("heads", h.Named, h.Since.From, h.Since.To, h.Since.Retreat, h.Since.MoreThanNoise, "")
		if h.Since.Rate != nil {
			figure("heads", h.Named, h.Since.From, h.Since.To, *h.Since.Rate, h.Since.MoreThanNoise, "")
		}
	}
	for _, e := range got.Edges {
		if e.Since == nil {
			row("edges", e.Named, "", "", "", "", "", "", "", "", "", e.Why, "")
			continue
		}
		figure("edges", e.Named, e.Since.From, e.Since.To, e.Since.Growth, e.Since.MoreThanNoise, "")
		if e.Since.Rate != nil {
			figure("edges", e.Named, e.Since.From, e.Since.To, *e.Since.Rate, e.Since.MoreThanNoise, "")
		}
	}
	for part, all := range [][]followup.Change{got.Silt, got.Cover} {
		for _, c := range all {
			figure([]string{"silt", "cover"}[part], c.Named, c.Before.On, c.After.On, c.Change, c.MoreThanNoise, strings.Join(c.Notes, " "))
		}
	}
	count := func(part, kind, name, age string, built int, f followup.Found, from []string) {
		for _, one := range []struct {
			what string
			n    int
		}{{"built", built}, {"sound", f.Sound}, {"healed", f.Healed}, {"needs work", f.NeedsWork}, {"failed", f.Failed}} {
			if one.n > 0 {
				row(part, recorded.Named{Kind: kind, Name: name}, "", "", one.what, strconv.Itoa(one.n), "", "1", "", string(followup.Computed), "", age, strings.Join(from, " "))
			}
		}
	}
	for _, h := range got.Held {
		count("condition", h.Kind, h.Material, "", h.Built, h.Found, h.From)
	}
	for _, a := range got.Ages {
		count("condition by age", a.Kind, "", many(a.WetSeasons, "wet season", "wet seasons"), 0, a.Found, a.From)
	}
	spentRows(got.Spent, func(kind, what, amount, unit, text string, from []string) {
		row("spent", recorded.Named{Kind: kind}, "", "", what, amount, "", unit, "", string(followup.Computed), "", text, strings.Join(from, " "))
	})
	for _, l := range got.LeftOut {
		row("left out", l.Named, l.On, "", "", "", "", "", "", "", "", l.Why, l.Visit)
	}
	return csv.NewWriter(w).WriteAll(lines)
}
