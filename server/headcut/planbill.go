package main

import (
	"encoding/json"
	"io"
	"slices"

	"headcut/model"
	"headcut/server"
)

// printBill prints what an answer's works take, with the hours and costs that the rates come to. What has no
// rate is not known, and said so.
func printBill(w io.Writer, planned server.Planned) {
	var answer struct{ Bill planRow }
	if json.Unmarshal(planned.Answer, &answer) != nil || answer.Bill == nil || len(planned.Beside) > 0 {
		return
	}
	var rows []planRow
	if json.Unmarshal(answer.Bill["rows"], &rows) != nil {
		return
	}
	unit := func(text, of string) string {
		if text == "" {
			return ""
		}
		return text + " " + of
	}
	costs := planned.Currency
	if costs == "" {
		costs = "in units not recorded"
	}
	cells := func(row planRow) []string {
		return []string{unit(row.withPlusMinus(planColumn{"hours", "hoursPlusMinus", ""}), "h"), unit(row.withPlusMinus(planColumn{"cost", "costPlusMinus", ""}), costs)}
	}
	var lines [][]string
	for _, row := range rows {
		of := row.cell("unit")
		if of == "each" { // pieces are counted
			of = "1"
		}
		known := row["hours"] != nil || row["cost"] != nil
		if !known && row.cell("item") == "dam" { // a rate for each dam is one way to reckon, which nobody took
			continue
		}
		line := []string{row.cell("item"), unit(row.withPlusMinus(planColumn{"quantity", "plusMinus", ""}), model.UnitInWords(of))}
		if line = append(line, cells(row)...); row["note"] != nil {
			line = append(line, "not known: "+row.cell("note"))
		}
		lines = append(lines, line)
	}
	if sum := cells(answer.Bill); slices.ContainsFunc(sum, func(cell string) bool { return cell != "" }) {
		lines = append(lines, append([]string{"together, of what has a rate", ""}, sum...))
	}
	printPart(w, "Takes, with hours and cost", columned(lines))
}
