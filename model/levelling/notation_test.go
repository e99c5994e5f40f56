package levelling

import (
	"strconv"
	"strings"
	"testing"

	"headcut/model"
)

// A level book in these tests is typed as the trade writes one: a heading that names the
// columns, then a line for each row, columns parted by bars and blank where the book is.
// The columns known and m are the row's known level and its distance; inv with an x is an
// inverted staff, struck with an x a row ruled through. The columns rise, fall, hoc, rl
// and adj are what the reduction should give.

// typed is a parsed book: its rows, and the columns that a reduction should fill.
type typed struct {
	rows []model.LevelRow
	want []map[string]string
}

func book(t testing.TB, text string) typed {
	t.Helper()
	var heading []string
	var b typed
	for line := range strings.SplitSeq(strings.TrimSpace(text), "\n") {
		cells := strings.Split(line, "|")
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		if heading == nil {
			heading = cells
			continue
		}
		if len(cells) != len(heading) {
			t.Fatalf("book row %q has %d cells, its heading %d", line, len(cells), len(heading))
		}
		row, want := model.LevelRow{}, map[string]string{}
		for i, cell := range cells {
			switch name := heading[i]; name {
			case "pt":
				row.Point = cell
			case "bs":
				row.BS = number(t, cell)
			case "is":
				row.IS = number(t, cell)
			case "fs":
				row.FS = number(t, cell)
			case "known":
				row.KnownLevelM = number(t, cell)
			case "m":
				row.DistanceM = number(t, cell)
			case "booked":
				row.BookedLevelM = number(t, cell)
			case "inv":
				row.Inverted = cell == "x"
			case "struck":
				row.Struck = cell == "x"
			case "rise", "fall", "hoc", "rl", "adj":
				want[name] = cell
			default:
				t.Fatalf("book has the unknown column %q", name)
			}
		}
		b.rows, b.want = append(b.rows, row), append(b.want, want)
	}
	return b
}

func number(t testing.TB, cell string) *float64 {
	t.Helper()
	if cell == "" {
		return nil
	}
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		t.Fatalf("book cell %q: %v", cell, err)
	}
	return &v
}

// check compares every column of the book that a reduction should fill, blank ones too.
func (b typed) check(t testing.TB, run Run) {
	t.Helper()
	for i, want := range b.want {
		row := run.Rows[i]
		got := map[string]*float64{"rise": row.RiseM, "fall": row.FallM, "hoc": row.InstrumentLevelM, "adj": row.AdjustedLevelM, "rl": &row.LevelM}
		if row.Struck {
			got["rl"] = nil
		}
		for column, cell := range want {
			have := ""
			if v := got[column]; v != nil {
				have = nearest(*v).String()
			}
			if wanted := number(t, cell); wanted != nil {
				cell = nearest(*wanted).String()
			}
			if have != cell {
				t.Errorf("row %d (%s): %s = %q, want %q", i+1, row.Point, column, have, cell)
			}
		}
	}
}

func reduce(t testing.TB, rows []model.LevelRow, o Options) Run {
	t.Helper()
	run, err := Reduce(rows, o)
	if err != nil {
		t.Fatalf("Reduce: %v", err)
	}
	return run
}
