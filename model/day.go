package model

import "time"

// DayInWords is a date as sentences have it, "13 May 2026"; what is no date is given back.
func DayInWords(date string) string {
	day, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return day.Format("2 January 2006")
}
