package main

import (
	"cmp"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"strconv"
	"strings"
	"unicode/utf8"

	"headcut/model"
	"headcut/model/planning"
	"headcut/server"
)

// planColumn is a value of each row of an answer: how it is called there, its ±, and what stands above
// it on a terminal.
type planColumn struct{ name, plusMinus, head string }

// planTables are what is printed of an answer: what it is, the list in it, "" for the answer itself, the columns
// of each row, and those of the answer itself when several stand side by side and are not counted. Numbers are
// printed as the answer has them, with the digits that they deserve.
var planTables = map[planning.Purpose]struct {
	title   string
	rows    string
	columns []planColumn
	beside  []planColumn
}{
	planning.Dams: {title: "dams", rows: "dams", columns: []planColumn{
		{"chainageM", "chainagePlusMinusM", "chainage m"}, {"bedLevelM", "", "toe m"}, {"crestLevelM", "", "crest m"},
		{"notchLengthM", "", "notch m"}, {"headM", "headPlusMinusM", "water m"}, {"freeboardM", "", "freeboard m"}, {"abutmentLevelM", "abutmentPlusMinusM", "ends m"},
		{"keyM3", "", "key m³"}, {"apronLengthM", "", "apron m"}, {"rockM3", "rockPlusMinusM3", "rock m³"}, {"netM2", "", "netting m²"}, {"stands", "", "stands"}}},
	planning.WhoaBoys: {title: "whoa-boys", rows: "banks", columns: []planColumn{
		{"chainageM", "", "chainage m"}, {"spacingM", "", "apart m"}, {"side", "", "outlet"}}},
	planning.Banks: {title: "banks", rows: "setOut", columns: []planColumn{
		{"chainageM", "", "from outlet m"}, {"levelM", "", "uppermost at m"}, {"gradePct", "", "grade %"}, {"readingM", "", "staff m"}}, beside: []planColumn{
		{"verdict", "", "verdict"}, {"lengthM", "", "length m"}, {"spacing.alongGroundM", "", "apart m"}, {"flowDepthM", "flowDepthPlusMinusM", "water m"}, {"settledHeightM", "settledHeightPlusMinusM", "settled m"},
		{"builtHeightM", "builtHeightPlusMinusM", "built m"}, {"earthM3", "earthPlusMinusM3", "earth m³"}, {"fastest.velocityMS", "", "fastest m/s"}}},
	planning.RipLines: {title: "rip lines", columns: []planColumn{
		{"lengthM", "plusMinusM", "length m"}, {"spacingM.mean", "spacingM.meanPlusMinusM", "apart m"}, {"spacingM.min", "", "least m"}, {"spacingM.max", "", "most m"},
		{"areaM2", "plusMinusM2", "treated m²"}, {"waterHeldM3", "water.totalPlusMinusM3", "water m³"}, {"contour.state", "", "contour"}}},
	planning.Windrows: {title: "windrows", rows: "pairs", columns: []planColumn{
		{"rowName", "", "gap of"}, {"gap", "", "gap"}, {"belowRowName", "", "lies above"}, {"meets", "", "where is"}, {"shiftM", "shiftPlusMinusM", "shift m"}}, beside: []planColumn{
		{"verdict", "", "gaps"}, {"fallBearingDeg", "", "fall °"}}},
	planning.PeakFlow: {title: "peak flow", columns: []planColumn{
		{"flowM3S", "flowPlusMinusM3S", "flow m³/s"}, {"areaHa", "areaPlusMinusHa", "area ha"}, {"intensityMmH", "intensityPlusMinusMmH", "rain mm/h"}}},
	planning.Batter: {title: "batter", columns: []planColumn{
		{"cutM3", "cutPlusMinusM3", "cut m³"}, {"widthM", "widthPlusMinusM", "brink back m"}, {"areaM2", "areaPlusMinusM2", "to sow m²"}, {"faceM2", "facePlusMinusM2", "face m²"},
		{"topsoilM3", "topsoilPlusMinusM3", "topsoil m³"}, {"bill.hours", "bill.hoursPlusMinus", "hours"}, {"bill.cost", "bill.costPlusMinus", "cost"}}},
	planning.Scald: {title: "works on a scald", columns: []planColumn{
		{"slopePct", "slopePlusMinusPct", "slope %"}, {"bankCount", "", "banks"}, {"bankLengthM", "bankLengthPlusMinusM", "each m"}, {"pondedM3", "pondedPlusMinusM3", "ponded m³"},
		{"pits", "pitsPlusMinus", "pits"}, {"pitWaterM3", "pitWaterPlusMinusM3", "in pits m³"}, {"gypsumKgHa", "gypsumPlusMinusKgHa", "gypsum kg/ha"}, {"gypsumSource", "", "gypsum by"},
		{"bill.hours", "bill.hoursPlusMinus", "hours"}, {"bill.cost", "bill.costPlusMinus", "cost"}}},
	planning.Forage: {title: "feed", columns: []planColumn{
		{"feedKgHa", "feedPlusMinusKgHa", "feed kg/ha"}, {"grazedHa", "grazedPlusMinusHa", "grazed ha"}, {"eat.eatKgHa", "eat.eatPlusMinusKgHa", "to eat kg/ha"},
		{"herd.units", "herd.unitsPlusMinus", "units in it"}, {"lasts.days", "lasts.daysPlusMinus", "lasts days"}, {"lasts.cautiousDays", "", "surely days"},
		{"fits.units", "fits.unitsPlusMinus", "units that fit"}, {"fits.cautiousUnits", "", "surely units"}}},
}

// planLists are what is printed below a table: a list in the answer, and the columns of each row.
var planLists = map[planning.Purpose]struct {
	rows    string
	columns []planColumn
}{
	planning.Scald: {"banks", []planColumn{{"chainageM", "", "chainage m"}, {"groundLevelM", "", "contour m"}, {"crestLevelM", "", "crest m"}, {"slopePct", "slopePlusMinusPct", "slope %"}, {"waterM3PerM", "plusMinusM3PerM", "water m³/m"}}},
}

type planRow map[string]json.RawMessage

// cell is a value as it is printed: a text without its quotes, a number as it is, nothing for none.
func (row planRow) cell(name string) string {
	return cmp.Or(model.TextOf(row[name]), string(row[name]))
}

func (row planRow) withPlusMinus(column planColumn) string {
	if plusMinus := row.cell(column.plusMinus); plusMinus != "" {
		return row.cell(column.name) + " ± " + plusMinus
	}
	return row.cell(column.name)
}

// flat is the row with the values of its objects beside its own: "lasts.days".
func (row planRow) flat() planRow {
	all := maps.Clone(row)
	for name, raw := range row {
		var within planRow
		if json.Unmarshal(raw, &within) == nil {
			for inner, value := range within {
				all[name+"."+inner] = value
			}
		}
	}
	return all
}

// planRows are the rows of an answer, and those of its columns that have any value.
func planRows(planned server.Planned) (rows []planRow, used []planColumn, err error) {
	table := planTables[planned.Plans]
	var whole planRow
	if err = json.Unmarshal(planned.Answer, &whole); err != nil {
		return nil, nil, err
	}
	rows = []planRow{whole.flat()}
	if table.rows != "" {
		err = json.Unmarshal(whole[table.rows], &rows)
	}
	return rows, having(rows, table.columns), err
}

// having are the columns that any row has a value of.
func having(rows []planRow, columns []planColumn) (used []planColumn) {
	for _, column := range columns {
		if _, there := model.Find(rows, func(row planRow) bool { return row[column.name] != nil }); there {
			used = append(used, column)
		}
	}
	return used
}

// namesOf are the columns' names in an answer, each ± behind its value's.
func namesOf(columns []planColumn) (names []string) {
	for _, column := range columns {
		if names = append(names, column.name); column.plusMinus != "" {
			names = append(names, column.plusMinus)
		}
	}
	return names
}

// alike gives the numbers of a column, and their ±, as many decimals as any of them has: to the
// centimetre where there is a ±, else to the millimetre.
func alike(rows []planRow, column planColumn) {
	decimals, most := 0, 3
	if column.plusMinus != "" {
		most = 2
	}
	each := func(do func(row planRow, name string, v float64)) {
		for _, row := range rows {
			for _, name := range []string{column.name, column.plusMinus} {
				var v float64
				if json.Unmarshal(row[name], &v) == nil {
					do(row, name, v)
				}
			}
		}
	}
	each(func(row planRow, name string, _ float64) {
		_, after, _ := strings.Cut(string(row[name]), ".")
		decimals = min(max(decimals, len(after)), most)
	})
	each(func(row planRow, name string, v float64) { row[name] = strconv.AppendFloat(nil, v, 'f', decimals, 64) })
}

// printNotch prints the notch that all dams of a layout have, where there is one.
func printNotch(w io.Writer, planned server.Planned) {
	var layout struct {
		Notch *struct{ NotchLengthM, HeadM, FreeboardM json.RawMessage }
	}
	if json.Unmarshal(planned.Answer, &layout) == nil && layout.Notch != nil {
		n := layout.Notch
		fmt.Fprintf(w, "Notch of every dam: %s m long, %s m of water and %s m of freeboard\n", n.NotchLengthM, n.HeadM, n.FreeboardM)
	}
}

// printPlanTable prints the rows for a person, each ± behind its value.
func printPlanTable(w io.Writer, planned server.Planned) error {
	rows, columns, err := planRows(planned)
	printRows(w, rows, columns)
	list := planLists[planned.Plans]
	var whole planRow
	if err == nil && list.rows != "" {
		err = json.Unmarshal(planned.Answer, &whole)
	}
	if err != nil || whole[list.rows] == nil {
		return err
	}
	var listed []planRow
	if err = json.Unmarshal(whole[list.rows], &listed); err == nil {
		fmt.Fprintln(w)
		printRows(w, listed, having(listed, list.columns))
	}
	return err
}

func printRows(w io.Writer, rows []planRow, columns []planColumn) {
	for _, column := range columns {
		alike(rows, column)
	}
	line := func(cell func(planColumn) string) {
		var text strings.Builder
		for _, column := range columns {
			width := 18
			for _, row := range rows {
				width = max(width, utf8.RuneCountInString(row.withPlusMinus(column))+2)
			}
			fmt.Fprintf(&text, "%-*s", width, cell(column))
		}
		fmt.Fprintln(w, "  "+strings.TrimRight(text.String(), " "))
	}
	line(func(column planColumn) string { return column.head })
	for _, row := range rows {
		line(row.withPlusMinus)
	}
}

// writePlanCSV writes the rows for a program, each ± in a column of its own, under the answer's names.
func writePlanCSV(w io.Writer, planned server.Planned) error {
	rows, columns, err := planRows(planned)
	if err != nil {
		return err
	}
	names := namesOf(columns)
	lines := [][]string{names}
	for _, row := range rows {
		lines = append(lines, model.Each(names, row.cell))
	}
	return csv.NewWriter(w).WriteAll(lines)
}

// printBase prints what an answer rests on, and what it lacks.
func printBase(w io.Writer, planned server.Planned) {
	on := func(day string) string {
		if day == "" {
			return ""
		}
		return ", " + model.DayInWords(day)
	}
	part := func(head string, lines []string) {
		if len(lines) > 0 {
			fmt.Fprintf(w, "%s:\n  %s\n", head, strings.Join(lines, "\n  "))
		}
	}
	part("Refused", planned.Refused)
	part("Used", model.Each(planned.Used, func(u planning.Used) string {
		return featureName(u.Kind, u.Name, u.Feature) + on(u.On) + ": " + u.What
	}))
	part("Left out", model.Each(planned.LeftOut, func(l planning.LeftOut) string {
		return featureName(l.Kind, l.Name, l.Feature) + on(l.On) + ": " + l.Why
	}))
	part("To measure", planned.Missing)
	part("Other level runs, for --run", model.Each(planned.Others, func(o planning.Offered) string {
		return fmt.Sprintf("%s%s: %s from chainage %.1f to %.1f m", featureName(o.Kind, o.Name, o.Feature), on(o.On), many(o.Levels, "level", "levels"), o.FromM, o.ToM)
	}))
	var answer struct{ Cautions []model.Caution }
	if json.Unmarshal(planned.Answer, &answer) == nil {
		says := planned.Says
		if len(planned.Beside) > 0 {
			says = nil // printed with the values
		}
		part("Mind", append(says, model.Each(answer.Cautions, func(c model.Caution) string { return c.Text })...))
	}
}

// printAdoption prints what was written down.
func printAdoption(w io.Writer, data string, planned server.Planned) {
	a := planned.Adoption
	if len(a.Changes) == 0 {
		fmt.Fprintf(w, "Adopted before: nothing was changed\n")
	}
	for _, c := range a.Changes {
		did := "proposed"
		switch {
		case c.Kind == model.PlanKind:
			did = "kept"
		case !c.New:
			did = "edited"
		}
		fmt.Fprintf(w, "%s %s\n", featureName(c.Kind, c.Name, c.Feature), did)
	}
	for _, text := range a.Says {
		fmt.Fprintf(w, "  %s\n", text)
	}
	if planned.Intake > 0 {
		fmt.Fprintf(w, "To undo it: headcut intake --data %s --undo %d\n", data, planned.Intake)
	}
}
