package monitor

import (
	"cmp"
	"fmt"
	"strconv"

	"headcut/model"
	"headcut/model/calendar"
)

// Day is a calendar day, counted from 1970-01-01.
type Day int

// ParseDay reads a date as ISO 8601 writes it, "2024-11-30", from 1900 to 2199.
func ParseDay(text string) (Day, error) {
	number, ok := calendar.Parse(text)
	if !ok {
		if len(text) > 20 {
			text = text[:20]
		}
		return 0, &model.Problem{Reason: strconv.Quote(text) + " is not a date", Fix: "write year, month and day, as in 2024-11-30"}
	}
	if year := Day(number).Year(); year < 1900 || year > 2199 {
		return 0, &model.Problem{Reason: text + " is not in a year from 1900 to 2199", Fix: "correct the year"}
	}
	return Day(number), nil
}

// firstOf is the first day of a month; months run past 12 into the next year.
func firstOf(year, month int) Day {
	return Day(calendar.Number(year, month, 1))
}

// Year is that of the calendar.
func (d Day) Year() int {
	year, _, _ := calendar.Date(int(d))
	return year
}

// String is the date as ParseDay reads it.
func (d Day) String() string { return calendar.String(int(d)) }

// MarshalText writes String.
func (d Day) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText is ParseDay.
func (d *Day) UnmarshalText(text []byte) (err error) {
	*d, err = ParseDay(string(text))
	return err
}

// Month is from 1 to 12.
func (d Day) Month() int {
	_, month, _ := calendar.Date(int(d))
	return month
}

// yearsTo is the time from d to a later day in years of the calendar: 1 on the first
// anniversary, leap year or not, and between two anniversaries by the days of that year.
// The anniversary of 29 February is 1 March where there is none.
func (d Day) yearsTo(later Day) float64 {
	year, month, day := calendar.Date(int(d))
	anniversary := func(n int) Day { return firstOf(year+n, month) + Day(day-1) }
	n := later.Year() - year
	if anniversary(n) > later {
		n--
	}
	return float64(n) + float64(later-anniversary(n))/float64(anniversary(n+1)-anniversary(n))
}

// Season is a part of each year by whole months, both included; it may run over the new
// year, as a wet season from November (11) to April (4) does.
type Season struct {
	FirstMonth int `json:"firstMonth" unit:"1" doc:"its first month, January is 1"`
	LastMonth  int `json:"lastMonth" unit:"1" doc:"its last month, included; before the first for a season over the new year"`
}

// Check refuses months that are none.
func (s Season) Check() error {
	month := func(path string, m int) *model.Problem { return outside(path, float64(m), 1, 12, "", "January is 1") }
	return model.FirstProblem(month("firstMonth", s.FirstMonth), month("lastMonth", s.LastMonth)).Err()
}

// byDay is the order of measurements by their days, of which no two may be one. list and fix
// are of the Problem.
func byDay(days []Day, list, fix string) ([]int, *model.Problem) {
	order := make([]int, len(days))
	for i := range order {
		order[i] = i
	}
	model.SortStable(order, func(a, b int) int { return cmp.Compare(days[a], days[b]) })
	for k := 1; k < len(order); k++ {
		if before, at := order[k-1], order[k]; days[at] == days[before] {
			return nil, &model.Problem{Path: fmt.Sprintf("%s[%d].date", list, at), Reason: fmt.Sprintf("%v is the date of %s[%d] too", days[at], list, before), Fix: fix}
		}
	}
	return order, nil
}

// months is the season's length.
func (s Season) months() int { return (s.LastMonth-s.FirstMonth+12)%12 + 1 }

// Between counts the seasons from one day to a later one: whole ones as 1, one that was
// under way at either visit by the part of its days that lies between. A leap day counts for
// nothing, so that a year is a season from whatever day.
func (s Season) Between(from, to Day) float64 {
	count := 0.0
	for year := from.Year() - 1; year <= to.Year(); year++ {
		starts, ends := withoutLeapDays(year, s.FirstMonth, 1), withoutLeapDays(year, s.FirstMonth+s.months(), 1)
		if days := min(withoutLeapDays(calendar.Date(int(to))), ends) - max(withoutLeapDays(calendar.Date(int(from))), starts); days > 0 {
			count += float64(days) / float64(ends-starts)
		}
	}
	return count
}

// withoutLeapDays counts days as if no year had a leap day: 29 February is 1 March.
func withoutLeapDays(year, month, day int) int {
	const common = 1901 // a year without one, as is the next
	return 365*year + calendar.Number(common, month, day) - calendar.Number(common, 1, 1)
}

// AtItsEnd tells whether a day lies in the season's last month or the one before it.
func (s Season) AtItsEnd(d Day) bool {
	left := (s.LastMonth - d.Month() + 12) % 12
	return left <= min(1, s.months()-1)
}

// LastEnded is the first day after the newest of these seasons that has ended by a day.
func (s Season) LastEnded(by Day) Day {
	if after := firstOf(by.Year(), s.LastMonth+1); after <= by {
		return after
	}
	return firstOf(by.Year()-1, s.LastMonth+1)
}

// EndBegan is the first day of the season's end that a day lies in; false where it lies in none.
func (s Season) EndBegan(d Day) (Day, bool) {
	left := (s.LastMonth - d.Month() + 12) % 12
	return firstOf(d.Year(), d.Month()-min(1, s.months()-1)+left), s.AtItsEnd(d)
}
