package planning

import (
	"fmt"
	"strconv"
	"strings"

	"headcut/model"
)

// metres is a chainage as a sentence has it: to the decimetre.
func metres(m float64) string { return strconv.FormatFloat(m, 'f', 1, 64) }

// metres2 is a difference of levels: to the centimetre.
func metres2(m float64) string { return strconv.FormatFloat(m, 'f', 2, 64) }

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// inWords is a list as a sentence has it: "Dam 1, Dam 2 and Dam 3".
func inWords(names []string) string {
	if last := len(names) - 1; last > 0 {
		return strings.Join(names[:last], ", ") + " and " + names[last]
	}
	return strings.Join(names, "")
}

// ofDay is " of 13 May 2026", nothing where no day is known.
func ofDay(day string) string {
	if day == "" {
		return ""
	}
	return " of " + model.DayInWords(day)
}
