package levelling

import (
	"fmt"
	"math"

	"headcut/model"
)

// sight is one row of the book in tenths of a millimetre, checked.
type sight struct {
	row        int // index in the book as given
	bs, is, fs *tenths
	known      *tenths
	booked     *tenths
	distanceM  *float64
}

// reading is the one that gives the row its level: the foresight or intermediate sight.
func (s sight) reading() tenths {
	if s.fs != nil {
		return *s.fs
	}
	return *s.is
}

// read checks a book and returns its rows that are not struck. What it refuses, it
// refuses with the path of the cell: rows that no set-up could give, readings that are
// not on the staff, digits finer than a tenth of a millimetre.
func read(rows []model.LevelRow, staff tenths) ([]sight, error) {
	book := make([]sight, 0, len(rows))
	for i, row := range rows {
		if row.Struck {
			continue
		}
		s, err := readRow(i, row, staff)
		if err != nil {
			return nil, err
		}
		book = append(book, s)
	}
	if len(book) < 2 {
		return nil, &model.Problem{Path: "rows", Reason: fmt.Sprintf("a run needs two rows and has %d that are not struck", len(book)),
			Fix: "book a backsight first and a foresight last"}
	}
	for k, s := range book {
		if err := s.inPlace(k == 0, k == len(book)-1); err != nil {
			return nil, err
		}
	}
	return book, checkDistances(book)
}

func readRow(i int, row model.LevelRow, staff tenths) (sight, error) {
	s := sight{row: i, distanceM: row.DistanceM}
	for _, cell := range []struct {
		name    string
		value   *float64
		to      **tenths
		onStaff bool
	}{{"bs", row.BS, &s.bs, true}, {"is", row.IS, &s.is, true}, {"fs", row.FS, &s.fs, true},
		{"knownLevelM", row.KnownLevelM, &s.known, false}, {"bookedLevelM", row.BookedLevelM, &s.booked, false}} {
		if cell.value == nil {
			continue
		}
		t, fault := exact(*cell.value)
		switch {
		case fault != nil:
		case cell.onStaff && (t > staff || t < -staff):
			fault = &model.Problem{Reason: text(*cell.value) + " m is not on a staff of " + staff.String() + " m", Fix: notMetres(*cell.value, staff)}
		case cell.onStaff && row.Inverted && t < 0:
			fault = &model.Problem{Reason: "is negative and the row is marked inverted", Fix: "book an inverted staff one way: marked, with the reading as read, or negative"}
		case cell.onStaff && row.Inverted:
			t = -t
		}
		if fault != nil {
			return s, fault.Within(cellPath(i, cell.name))
		}
		*cell.to = &t
	}
	return s, nil
}

// notMetres is what to do about a reading beyond the staff: it may well be in feet where it
// is no longer than the staff is in feet.
func notMetres(reading float64, staff tenths) string {
	const foot = 0.3048
	if math.Abs(reading)*foot <= staff.metres() {
		return "is the staff in feet? Book metres: 1 foot is 0.3048 m. Give staffLengthM if the staff is longer"
	}
	return "book metres, not millimetres or centimetres; give staffLengthM if the staff is longer"
}

// inPlace tells whether the row has the readings that its place in the book asks for.
func (s sight) inPlace(first, last bool) error {
	const onePlace = "a row has one sight; only a change point has two, a foresight and a backsight"
	bs, is, fs := s.bs != nil, s.is != nil, s.fs != nil
	if p := model.FirstProblem(
		model.Require(!is || !bs, "is", onePlace, "cannot be given with a backsight"),
		model.Require(!is || !fs, "is", onePlace, "cannot be given with a foresight"),
		model.Require(!first || bs, "bs", "book the first sight, on the known point, as a backsight", "is missing: a run starts with a backsight"),
		model.Require(!first || !fs, "fs", "strike it out, or book the row that comes before it", "is a foresight before any backsight"),
		model.Require(!first || s.known != nil, "knownLevelM", "give the benchmark's level, or an assumed one such as 100", "is missing: a run starts on a known level"),
		model.Require(bs || is || fs, "", "book what was read, or strike the row through", "has no reading"),
		model.Require(first || last || !fs || bs, "bs", "a change point has a foresight and a backsight, any other sight is intermediate; a run that begins on another benchmark is a book of its own",
			"is missing: the instrument moved and did not look back"),
		model.Require(first || !bs || fs, "fs", "book both sights of the change point on one row", "is missing: a backsight in the middle of a run needs a foresight")); p != nil {
		return p.Within(fmt.Sprintf("rows[%d]", s.row))
	}
	return nil
}

// checkDistances tells whether the distances along the route, where given, grow with it.
func checkDistances(book []sight) error {
	const most = 1e7 // a quarter of the way round the earth
	const along = "distances count along the route from its start"
	start, reach := 0.0, 0.0 // of the set-up, and the farthest sight in it
	for k, s := range book {
		if s.distanceM == nil {
			continue
		}
		d := *s.distanceM
		if k == 0 {
			start, reach = d, d
		}
		if p := model.FirstProblem(
			model.Require(d >= 0 && d <= most, "", "give metres from the start of the run", "%v m is not a distance along the run", d),
			model.Require(d >= start, "", along, "%v m lies behind the backsight at %v m", d, start),
			model.Require(s.fs == nil || d > start && d >= reach, "", along, "%v m is not beyond the sights before it", d)); p != nil {
			return p.Within(cellPath(s.row, "distanceM"))
		}
		if reach = max(reach, d); s.fs != nil {
			start = d
		}
	}
	return nil
}

func cellPath(row int, name string) string { return fmt.Sprintf("rows[%d].%s", row, name) }

// finished gives a book that is still being written one more sight, on the point sighted
// last, so that it ends with a foresight: the sight adds no rise and no fall, and closes
// nothing. A book that ends with a foresight is given back as it is, and so is one to which
// no sight could be added.
func finished(rows []model.LevelRow) []model.LevelRow {
	last := -1
	for i, row := range rows {
		if !row.Struck {
			last = i
		}
	}
	if last < 0 {
		return rows
	}
	row := rows[last]
	again := row.BS
	if again == nil && row.FS == nil {
		again = row.IS
	}
	if again == nil {
		return rows
	}
	return append(rows[:len(rows):len(rows)], model.LevelRow{FS: again, Inverted: row.Inverted})
}
