package main

import (
	"cmp"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/followup"
	"headcut/model/recorded"
	"headcut/server"
)

var figuresCommand = command{
	data: true, name: "figures", args: "--data DIR --property NAME [--of FEATURE] [--format FORMAT]", summary: "print what is known of a feature, or of a property",
	help: `
Prints what is known of a feature: its fields and how each was measured, by whom and when; what is
calculated from them, with its ± (one standard deviation) and the rule behind it; of a cross-section, and
of a gully that has some, their levels; checks, visits, what to
watch for, and the entries that all this comes from. FEATURE is a name or the uid of an export. Each figure says
whether it was observed, computed or planned.

Without --of it counts what is on the property, by how far works have come, and lists the checks that
fail, of works those that are built, and what two people recorded differently.

    headcut figures --data DIR --property NAME --of 'Lantern Gully'`,
	run: runFigures,
}

func runFigures(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	property := f.String("property", "", "`NAME` the property")
	of := f.String("of", "", "`FEATURE` name or uid of a feature; the whole property if not given")
	format := f.String("format", "text", "`FORMAT` text, json or csv")
	if err := c.parse(f); err != nil {
		return err
	}
	switch {
	case *data == "" || *property == "" || len(c.args) > 0:
		return c.misused("say --data DIR --property NAME, and --of FEATURE for one feature")
	case !slices.Contains(planFormats, *format):
		return c.misused("--format is text, json or csv, not %q", *format)
	}
	known, err := post[server.Known](ctx, *data, "/office/figures", server.FiguresRequest{Property: *property, Of: *of})
	if err != nil {
		return err
	}
	switch *format {
	case "json":
		return printJSON(c.stdout, known)
	case "csv":
		return writeKnownCSV(c.stdout, known)
	}
	out := printed{c.stdout}
	if known.Feature == nil {
		printKnownProperty(out, known)
	} else {
		printKnownFeature(out, known.Feature)
	}
	return nil
}

func printJSON(w io.Writer, answer any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(answer)
}

// printPart prints lines below a head, nothing where there are none.
func printPart(w io.Writer, head string, lines []string) {
	if len(lines) > 0 {
		fmt.Fprintf(w, "%s:\n  %s\n", head, strings.Join(lines, "\n  "))
	}
}

// columned are rows of cells as lines of one width each.
func columned(rows [][]string) []string {
	var widths []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], len([]rune(cell)))
		}
	}
	return model.Each(rows, func(row []string) string {
		var line strings.Builder
		for i, cell := range row {
			line.WriteString(cell + strings.Repeat(" ", widths[i]-len([]rune(cell))+2))
		}
		return strings.TrimRight(line.String(), " ")
	})
}

func printKnownProperty(w io.Writer, known server.Known) {
	fmt.Fprintf(w, "Figures of %s\n\n", known.Property.Name)
	if len(known.Kinds) == 0 {
		fmt.Fprintln(w, "Nothing is recorded yet.")
	}
	lines := model.Each(known.Kinds, func(k server.KnownKind) []string {
		var stages []string
		for _, status := range append(slices.Clone(model.Statuses), "") {
			if n := k.Status[status]; n > 0 {
				stages = append(stages, fmt.Sprintf("%d %s", n, cmp.Or(string(status), "without a status")))
			}
		}
		return []string{k.Plural, strconv.Itoa(k.Count), strings.Join(stages, ", ")}
	})
	printPart(w, "Recorded", columned(lines))
	printPart(w, "Checks that fail", model.Each(known.Failing, func(f server.KnownFailing) string {
		return fmt.Sprintf("%s: %s: %s", featureName(f.Kind, f.Name, f.Feature), f.Check.Name, f.Check.Text)
	}))
	printPart(w, "Recorded differently by two people", clashLines(known.Clashes, true))
}

func clashLines(all []server.KnownClash, named bool) []string {
	return model.Each(all, func(k server.KnownClash) string {
		sides := model.Each(k.Values, func(side server.ClashingWord) string {
			return fmt.Sprintf("%s (%s)", valueWords(side.Value), recordedBy(side.By, side.At))
		})
		line := k.Label + ": " + strings.Join(sides, "; ")
		if named {
			line = featureName(k.Kind, k.Name, k.Feature) + ": " + line
		}
		return line
	})
}

// recordedBy is who recorded something and when, as far as that is known.
func recordedBy(by, at string) string {
	day, _, _ := strings.Cut(at, "T")
	parts := slices.DeleteFunc([]string{by, model.DayInWords(day)}, func(part string) bool { return part == "" })
	return strings.Join(parts, ", ")
}

// valueWords is a value as a line has it; of lists how much is in them.
func valueWords(raw json.RawMessage) string {
	var list []json.RawMessage
	var place struct{ Type string }
	switch text := model.TextOf(raw); {
	case text != "":
		return model.DayInWords(text)
	case json.Unmarshal(raw, &list) == nil && list != nil:
		return many(len(list), "row", "rows")
	case json.Unmarshal(raw, &place) == nil && place.Type != "":
		return placeWords(raw, place.Type)
	case string(raw) == "true":
		return "yes"
	case string(raw) == "false":
		return "no"
	}
	return string(raw)
}

// placeWords are a position to a metre, of other shapes what they are.
func placeWords(raw json.RawMessage, shape string) string {
	switch g, _ := model.ParseGeometry(raw); g := g.(type) {
	case orb.Point:
		return fmt.Sprintf("%.5f, %.5f", g[1], g[0])
	case orb.LineString:
		return fmt.Sprintf("line of %d positions", len(g))
	case orb.Polygon:
		return "area"
	}
	return shape
}

// measuredHow tells whether a field says how another was measured, which stands beside that one.
func measuredHow(f server.KnownField) bool { return strings.HasSuffix(f.Label, ": how measured") }

// fieldWords is a field's value with its unit and how it was measured.
func fieldWords(f server.KnownField) string {
	text := cmp.Or(f.Called, valueWords(f.Value)) + unitAfter(f.Unit)
	if f.Basis != "" {
		text += ", " + string(f.Basis)
	}
	return text
}

// figureWords is a figure with its ± and unit as people read them.
func figureWords(f followup.Figure) string {
	value, unit, places := f.Value, f.Unit, min(model.DecimalsOf(f.Unit), 2)
	plusMinus := -1.0
	if f.PlusMinus != nil {
		plusMinus = *f.PlusMinus
	}
	if figures.InMillimetres(f.Name) {
		value, plusMinus, unit, places = 1000*value, 1000*plusMinus, "mm", 1
	} else if plusMinus > 0 {
		places = placesOf(plusMinus)
	}
	text := strconv.FormatFloat(value, 'f', places, 64)
	if plusMinus > 0 {
		text += " ± " + strconv.FormatFloat(plusMinus, 'f', places, 64)
	}
	return text + unitAfter(unit)
}

// placesOf is how many decimals a value with this ± deserves: those of the first digit of the ±, and one
// more where that digit is a 1. At most three, a millimetre.
func placesOf(plusMinus float64) int {
	places := 0
	for unit := 2.0; places < 3 && plusMinus < unit; unit /= 10 {
		places++
	}
	return places
}

// unitAfter is a unit behind a number.
func unitAfter(code string) string {
	switch unit := model.UnitInWords(code); unit {
	case "", "°":
		return unit
	default:
		return " " + unit
	}
}

func printKnownFeature(w io.Writer, k *server.KnownFeature) {
	fmt.Fprintf(w, "Figures of %s\n\n", featureName(k.Kind, k.Name, k.Feature))
	fields := slices.DeleteFunc(slices.Clone(k.Fields), func(f server.KnownField) bool { return f.Name == "kind" || measuredHow(f) })
	printPart(w, "Recorded", columned(model.Each(fields, func(f server.KnownField) []string {
		return []string{f.Label, fieldWords(f), string(f.Origin), recordedBy(f.By, f.At)}
	})))
	printPart(w, "Recorded differently by two people", clashLines(k.Clashes, false))
	printPart(w, "Figures, ± one standard deviation", columned(model.Each(k.Figures, func(f followup.Figure) []string {
		return []string{f.Label, figureWords(f), string(f.Origin) + ", " + string(f.Basis), f.Rule}
	})))
	printPart(w, "Rests on besides", model.Each(k.RestsOn, func(n recorded.Named) string { return featureName(n.Kind, n.Name, n.Feature) }))
	for _, c := range k.CrossSections {
		printCrossSection(w, c)
	}
	printPart(w, "Checks", model.Each(k.Checks, func(check model.Check) string {
		return fmt.Sprintf("%s: %s. %s", check.Name, check.Verdict, check.Text)
	}))
	printPart(w, "Visits", model.Each(k.Visits, visitWords))
	printPart(w, "Mind", model.Each(k.Cautions, func(c model.Caution) string { return c.Text }))
	printPart(w, "Entries", columned(model.Each(k.Entries, func(e server.KnownEntry) []string {
		did := strings.Join(e.Set, ", ")
		if e.Strike != nil && *e.Strike {
			did = "struck out"
		} else if e.Strike != nil {
			did = "restored"
		}
		return []string{cmp.Or(recordedBy("", e.At), "day not recorded"), e.By, did}
	})))
}

func visitWords(v server.KnownVisit) string {
	words := []string{}
	for _, f := range slices.DeleteFunc(slices.Clone(v.Fields), measuredHow) {
		words = append(words, f.Label+" "+fieldWords(f))
	}
	if v.Photos > 0 {
		words = append(words, many(v.Photos, "photo", "photos"))
	}
	line := cmp.Or(model.DayInWords(v.On), "day not recorded") + ", " + v.By + ": " + cmp.Or(strings.Join(words, "; "), "nothing recorded")
	for _, clash := range clashLines(v.Clashes, false) {
		line += "; recorded differently by two people: " + clash
	}
	return line
}

// writeKnownCSV writes a row for each field and figure of a feature, or for each kind of a property.
func writeKnownCSV(w io.Writer, known server.Known) error {
	var lines [][]string
	if k := known.Feature; k != nil {
		lines = append(lines, []string{"feature", "kind", "name", "field", "label", "value", "plusMinus", "unit", "basis", "origin", "rule", "entry", "by", "at"})
		row := func(rest ...string) {
			lines = append(lines, append([]string{k.Feature, cell(k.Kind), cell(k.Name)}, rest...))
		}
		for _, f := range k.Fields {
			value := cell(model.TextOf(f.Value))
			if value == "" {
				value = string(f.Value) // a number, which may have a sign, or a list
			}
			row(cell(f.Name), cell(f.Label), value, "", f.Unit, string(f.Basis), string(f.Origin), "", string(f.Entry), cell(f.By), f.At)
		}
		for _, f := range k.Figures {
			row(f.Name, f.Label, plainNumber(&f.Value), plainNumber(f.PlusMinus), f.Unit, string(f.Basis), string(f.Origin), f.Rule, "", "", "")
		}
		return csv.NewWriter(w).WriteAll(lines)
	}
	lines = append(lines, append([]string{"kind", "count"}, append(model.Each(model.Statuses, func(s model.Status) string { return string(s) }), "noStatus")...))
	for _, k := range known.Kinds {
		row := []string{cell(k.Kind), strconv.Itoa(k.Count)}
		for _, status := range append(slices.Clone(model.Statuses), "") {
			row = append(row, strconv.Itoa(k.Status[status]))
		}
		lines = append(lines, row)
	}
	return csv.NewWriter(w).WriteAll(lines)
}

// cell is a text of anybody in a table: what a spreadsheet would take for a formula has an apostrophe
// before it (OWASP ASVS 5.0, 1.2.10; from memory).
func cell(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}

// plainNumber is a number as a program reads it, "" for none.
func plainNumber(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', -1, 64)
}
