package levelling

import (
	"cmp"
	"fmt"
	"math"

	"headcut/model"
)

// sums are the totals of a book and what they are checked against.
type sums struct{ bs, fs, rise, fall, first, last tenths }

// agree is the two checks of the trade in one: sum of backsights less sum of foresights =
// sum of rises less sum of falls = last level less first. The first pair sees change
// points only; the second sees every row. Source: Structural Community, Booking and
// reduction of levels; ExpertsMind, The rise and fall method (both looked up).
func (s sums) agree() bool {
	return s.bs-s.fs == s.last-s.first && s.rise-s.fall == s.last-s.first
}

// reduced is a book with its levels.
type reduced struct {
	book   []sight
	levels []tenths // by height of instrument
	steps  []tenths // rise, or minus fall, from the sight before
	lines  []tenths // level of the line of sight after a backsight
	setUps []int
	sums   sums
	differ []int // places where rise and fall gives another level
}

// Reduce works out a level book both ways the trade does,
//
//	height of instrument: line of sight = level + bs;  level = line of sight - (is or fs)
//	rise and fall:        level = level before + (reading before - this reading)
//
// compares them row by row, and closes the run on its known levels. Errors are about the
// book itself, with a path such as "rows[3].fs"; a run that does not close is no error.
func Reduce(rows []model.LevelRow, o Options) (Run, error) {
	staff, err := o.check()
	if err != nil {
		return Run{}, err
	}
	whole := finished(rows)
	book, err := read(whole, staff)
	if err != nil {
		return Run{}, err
	}
	r := reduceBook(book)
	run := Run{
		Rows:   make([]Row, len(whole)),
		SumBSM: r.sums.bs.metres(), SumFSM: r.sums.fs.metres(), SumRiseM: r.sums.rise.metres(), SumFallM: r.sums.fall.metres(),
		SetUps: r.setUps[len(book)-1],
		Method: NotAdjusted,
	}
	for i, row := range whole {
		run.Rows[i] = Row{Point: row.Point, Struck: row.Struck}
	}
	for k, s := range book {
		row := &run.Rows[s.row]
		row.SetUp, row.LevelM = r.setUps[k], r.levels[k].metres()
		if s.bs != nil {
			row.InstrumentLevelM = metresOf(r.lines[k])
		}
		switch step := r.steps[k]; {
		case k == 0:
		case step < 0:
			row.FallM = metresOf(-step)
		default:
			row.RiseM = metresOf(step)
		}
	}
	run.checkArithmetic(r)
	run.close(r, o)
	run.adjust(r, o)
	run.judge(r, o)
	run.caution(r)
	if len(whole) > len(rows) {
		run.SumFSM = (r.sums.fs - *book[len(book)-1].fs).metres()
		run.Rows = run.Rows[:len(rows)]
	}
	return run, nil
}

func reduceBook(book []sight) reduced {
	n := len(book)
	r := reduced{book: book, levels: make([]tenths, n), steps: make([]tenths, n), lines: make([]tenths, n), setUps: make([]int, n)}
	level, setUp := *book[0].known, 0
	byStep := level
	var line, before tenths
	for k, s := range book {
		if k > 0 {
			r.steps[k] = before - s.reading()
			byStep += r.steps[k]
			level = line - s.reading()
			before = s.reading()
			if r.steps[k] < 0 {
				r.sums.fall -= r.steps[k]
			} else {
				r.sums.rise += r.steps[k]
			}
		}
		r.levels[k], r.setUps[k] = level, setUp
		if byStep != level {
			r.differ = append(r.differ, k)
		}
		if s.fs != nil {
			r.sums.fs += *s.fs
		}
		if s.bs != nil {
			r.sums.bs += *s.bs
			line, before = level+*s.bs, *s.bs
			r.lines[k] = line
			setUp++
		}
	}
	r.sums.first, r.sums.last = r.levels[0], r.levels[n-1]
	return r
}

// checkArithmetic also compares what the officer reduced by hand, where the book has it,
// to the millimetre that books are kept to.
func (run *Run) checkArithmetic(r reduced) {
	run.ArithmeticOK, run.faultAt = r.sums.agree() && len(r.differ) == 0, len(r.book)
	if !run.ArithmeticOK {
		run.faultAt = 0
		run.Reasons = append(run.Reasons, "The two ways of reducing the book disagree.")
	}
	const halfMillimetre = 5
	for k, s := range r.book {
		if s.booked == nil {
			continue
		}
		if off := *s.booked - r.levels[k]; off > halfMillimetre || off < -halfMillimetre {
			run.ArithmeticOK, run.faultAt = false, min(run.faultAt, k)
			run.Reasons = append(run.Reasons, fmt.Sprintf("%s is booked at %v m; its readings give %v m.", run.name(s.row), *s.booked, r.levels[k]))
		}
	}
}

// name is a row as a sentence speaks of it.
func (run *Run) name(row int) string {
	if point := run.Rows[row].Point; point != "" {
		return fmt.Sprintf("Row %d (%s)", row+1, point)
	}
	return fmt.Sprintf("Row %d", row+1)
}

func (o *Options) check() (staff tenths, err error) {
	o.StaffLengthM = cmp.Or(o.StaffLengthM, StaffLengthM)
	limit := func(path string, mm float64) *model.Problem {
		const most = 1000 // a metre for one set-up allows anything
		return model.Require(mm >= 0 && mm <= most, path, "give millimetres", "%v mm is not between 0 and 1000", mm)
	}
	if p := model.FirstProblem(checkStaff(o.StaffLengthM), limit("tolerance.perRootKmMm", o.PerRootKmMm),
		limit("tolerance.perRootSetupMm", o.PerRootSetupMm), limit("readingPlusMinusMm", o.ReadingMm)); p != nil {
		return 0, p
	}
	o.ReadingMm = cmp.Or(o.ReadingMm, DefaultReadingMm)
	if o.PerRootKmMm == 0 {
		o.PerRootSetupMm = cmp.Or(o.PerRootSetupMm, DefaultPerRootSetupMm)
	}
	return nearest(o.StaffLengthM), nil
}

// plusMinusM is one standard deviation of a level k set-ups from the start.
func (o Options) plusMinusM(k int) float64 { return o.ReadingMm / 1000 * math.Sqrt(2*float64(k)) }

func metresOf(t tenths) *float64 {
	m := t.metres()
	return &m
}
