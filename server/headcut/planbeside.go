package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"headcut/model"
	"headcut/model/planning"
	"headcut/server"
)

// comparedValues reads FIELD=VALUE,VALUE, each value as --set takes it.
func comparedValues(text, computation string) (map[string][]json.RawMessage, error) {
	field, values, ok := strings.Cut(text, "=")
	if !ok || field == "" {
		return nil, fmt.Errorf("--compare %q has no field and values: write --compare crestHeightM=0.3,0.4,0.5", text)
	}
	var all []json.RawMessage
	for _, value := range strings.Split(values, ",") {
		one, err := beside(nil, []string{field + "=" + strings.TrimSpace(value)}, computation)
		if err != nil {
			return nil, err
		}
		var given map[string]json.RawMessage
		if err := json.Unmarshal(one, &given); err != nil {
			return nil, err
		}
		all = append(all, given[field])
	}
	return map[string][]json.RawMessage{field: all}, nil
}

// besideRows are a row for each value that is compared, and the columns that any of them has; of a value that was
// refused the row is empty.
func besideRows(planned server.Planned) (rows []planRow, columns []planColumn, err error) {
	table := planTables[planned.Plans]
	columns = []planColumn{{"count", "", table.title}, {"lowestM", "", "lowest chainage m"}, {"highestM", "", "highest chainage m"}, {"heightM", "", "height m"}, {"hours", "hoursPlusMinus", "hours"}, {"cost", "costPlusMinus", "cost"}}
	switch {
	case table.beside != nil:
		columns = table.beside
	case table.rows == "":
		columns = table.columns
	}
	for _, b := range planned.Beside {
		text := b.Answer
		if b.Laid != nil {
			text, err = json.Marshal(b.Laid)
		}
		row := planRow{}
		if err == nil && text != nil {
			err = json.Unmarshal(text, &row)
		}
		if err != nil {
			return nil, nil, err
		}
		rows = append(rows, row.flat())
	}
	return rows, having(rows, columns), nil
}

func besideOf(b planning.Beside) string { return planRow{"": b.Value}.cell("") }

// printBeside prints the values side by side for a person, and what each has to say.
func printBeside(w io.Writer, field string, planned server.Planned) error {
	rows, columns, err := besideRows(planned)
	if err != nil {
		return err
	}
	line := func(head string, cell func(i int) string) {
		text := fmt.Sprintf("%-22s", head)
		for i := range rows {
			text += fmt.Sprintf("%-18s", cell(i))
		}
		fmt.Fprintln(w, "  "+strings.TrimRight(text, " "))
	}
	line(field, func(i int) string { return besideOf(planned.Beside[i]) })
	for _, column := range columns {
		alike(rows, column)
		line(column.head, func(i int) string {
			if len(rows[i]) == 0 {
				return "refused"
			}
			return rows[i].withPlusMinus(column)
		})
	}
	shown := ""
	for _, b := range planned.Beside {
		if shown == "" && len(b.Refused) == 0 {
			shown = besideOf(b)
		}
		for _, text := range append(b.Refused, b.Says...) {
			fmt.Fprintf(w, "  at %s: %s\n", besideOf(b), text)
		}
	}
	fmt.Fprintf(w, "\nThe plan at %s rests on:\n", shown)
	return nil
}

// writeBesideCSV writes a column for each value, each ± in a row of its own.
func writeBesideCSV(w io.Writer, field string, planned server.Planned) error {
	rows, columns, err := besideRows(planned)
	if err != nil {
		return err
	}
	lines := [][]string{append([]string{field}, model.Each(planned.Beside, besideOf)...)}
	for _, name := range namesOf(columns) {
		lines = append(lines, append([]string{name}, model.Each(rows, func(row planRow) string { return row.cell(name) })...))
	}
	return csv.NewWriter(w).WriteAll(lines)
}
