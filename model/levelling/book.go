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
	s := sight{row: i}
	for _, cell := range []struct {
		name  string
		value *float64
		to    **tenths
	}{{"bs", row.BS, &s.bs}, {"is", row.IS, &s.is}, {"fs", row.FS, &s.fs}} {
		if cell.value == nil {
			continue
		}
		t, fault := exact(*cell.value)
		if fault != nil {
			return s, fault.Within(cellPath(i, cell.name))
		}
		if t > staff || t < -staff {
			return s, &model.Problem{Path: cellPath(i, cell.name), Reason: text(*cell.value) + " m is not on a staff of " + staff.String() + " m",
				Fix: notMetres(*cell.value, staff)}
		}
		if row.Inverted {
			if t < 0 {
				return s, &model.Problem{Path: cellPath(i, cell.name), Reason: "is negative and the row is marked inverted",
					Fix: "book an inverted staff one way: marked, with the reading as read, or negative"}
			}
			t = -t
		}
		*cell.to = &t
	}
	for _, level := range []struct {
		name  string
		value *float64
		to    **tenths
	}{{"knownLevelM", row.KnownLevelM, &s.known}, {"bookedLevelM", row.BookedLevelM, &s.booked}} {
		if level.value == nil {
			continue
		}
		t, fault := exact(*level.value)
		if fault != nil {
			return s, fault.Within(cellPath(i, level.name))
		}
		*level.to = &t
	}
	s.distanceM = row.DistanceM
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
	fault := func(name, reason, fix string) error {
		return &model.Problem{Path: cellPath(s.row, name), Reason: reason, Fix: fix}
	}
	row := func(reason, fix string) error {
		return &model.Problem{Path: fmt.Sprintf("rows[%d]", s.row), Reason: reason, Fix: fix}
	}
	const onePlace = "a row has one sight; only a change point has two, a foresight and a backsight"
	switch {
	case s.is != nil && s.bs != nil:
		return fault("is", "cannot be given with a backsight", onePlace)
	case s.is != nil && s.fs != nil:
		return fault("is", "cannot be given with a foresight", onePlace)
	case first && s.bs == nil:
		return fault("bs", "is missing: a run starts with a backsight", "book the first sight, on the known point, as a backsight")
	case first && s.fs != nil:
		return fault("fs", "is a foresight before any backsight", "strike it out, or book the row that comes before it")
	case first && s.known == nil:
		return fault("knownLevelM", "is missing: a run starts on a known level", "give the benchmark's level, or an assumed one such as 100")
	case first:
		return nil
	case s.bs == nil && s.is == nil && s.fs == nil:
		return row("has no reading", "book what was read, or strike the row through")
	case s.fs != nil && s.bs == nil && !last:
		return fault("bs", "is missing: the instrument moved and did not look back", "a change point has a foresight and a backsight, any other sight is intermediate; a run that begins on another benchmark is a book of its own")
	case s.bs != nil && s.fs == nil:
		return fault("fs", "is missing: a backsight in the middle of a run needs a foresight", "book both sights of the change point on one row")
	}
	return nil
}

// checkDistances tells whether the distances along the route, where given, grow with it.
func checkDistances(book []sight) error {
	const most = 1e7         // a quarter of the way round the earth
	start, reach := 0.0, 0.0 // of the set-up, and the farthest sight in it
	for k, s := range book {
		if s.distanceM == nil {
			continue
		}
		d := *s.distanceM
		fault := func(reason, fix string) error {
			return &model.Problem{Path: cellPath(s.row, "distanceM"), Reason: reason, Fix: fix}
		}
		const along = "distances count along the route from its start"
		switch {
		case math.IsNaN(d) || d < 0 || d > most:
			return fault(text(d)+" m is not a distance along the run", "give metres from the start of the run")
		case k == 0:
			start, reach = d, d
			continue
		case d < start:
			return fault(fmt.Sprintf("%v m lies behind the backsight at %v m", d, start), along)
		case s.fs != nil && (d <= start || d < reach):
			return fault(fmt.Sprintf("%v m is not beyond the sights before it", d), along)
		}
		reach = max(reach, d)
		if s.fs != nil {
			start = d
		}
	}
	return nil
}

func cellPath(row int, name string) string { return fmt.Sprintf("rows[%d].%s", row, name) }
