// Package calendar is the calendar of model: days as numbers, and dates as ISO 8601 writes
// them. Model knows no clock and no time zone, and package time, which has both, weighs as
// much on a phone as several computations.
package calendar

import (
	"strconv"
	"strings"
)

// Number counts days from 1970-01-01, of a date of the Gregorian calendar. Months run past
// 12 into the next year. The year is taken to begin in March, so that a leap day ends it
// (the common way; derived).
func Number(year, month, dayOfMonth int) int {
	year, month = year+floor(month-3, 12), (month-3)-12*floor(month-3, 12) // March is 0
	return 365*year + floor(year, 4) - floor(year, 100) + floor(year, 400) + (153*month+2)/5 + dayOfMonth - 719469
}

// Date is the date of a day.
func Date(number int) (year, month, dayOfMonth int) {
	year = 1970 + floor(number, 366) // at most a few years early or late
	for Number(year+1, 1, 1) <= number {
		year++
	}
	for Number(year, 1, 1) > number {
		year--
	}
	for month = 12; Number(year, month, 1) > number; month-- {
	}
	return year, month, number - Number(year, month, 1) + 1
}

// Parse reads a date such as 2024-11-30.
func Parse(text string) (day int, ok bool) {
	if len(text) != len("2024-11-30") || text[4] != '-' || text[7] != '-' {
		return 0, false
	}
	var parts [3]int
	for i, digits := range [3]string{text[:4], text[5:7], text[8:]} {
		if parts[i], ok = number(digits); !ok {
			return 0, false
		}
	}
	day = Number(parts[0], parts[1], parts[2])
	year, month, dayOfMonth := Date(day)
	return day, [3]int{year, month, dayOfMonth} == parts
}

// IsInstant tells whether a text is a time as RFC 3339 writes it, such as
// 2024-11-30T09:05:00.25+10:00, with capital letters and no leap second.
func IsInstant(text string) bool {
	const seconds = "2024-11-30T09:05:00"
	if len(text) <= len(seconds) || text[10] != 'T' || text[16] != ':' || !isClock(text[11:16], 23) || !isClock("00:"+text[17:19], 0) {
		return false
	}
	if _, ok := Parse(text[:10]); !ok {
		return false
	}
	zone := text[len(seconds):]
	if zone[0] == '.' {
		whole := strings.TrimLeft(zone[1:], "0123456789")
		if len(whole) == len(zone)-1 {
			return false
		}
		zone = whole
	}
	return zone == "Z" || zone != "" && (zone[0] == '+' || zone[0] == '-') && isClock(zone[1:], 23)
}

// isClock tells whether a text is hours, up to a number of them, and minutes.
func isClock(text string, hours int) bool {
	if len(text) != len("09:05") || text[2] != ':' {
		return false
	}
	hour, isHour := number(text[:2])
	minute, isMinute := number(text[3:])
	return isHour && isMinute && hour <= hours && minute < 60
}

// number is what digits alone say.
func number(digits string) (n int, ok bool) {
	for i := range len(digits) {
		if digits[i] < '0' || digits[i] > '9' {
			return 0, false
		}
		n = 10*n + int(digits[i]-'0')
	}
	return n, true
}

// String is the date as Parse reads it.
func String(number int) string {
	year, month, dayOfMonth := Date(number)
	return digits(year, 4) + "-" + digits(month, 2) + "-" + digits(dayOfMonth, 2)
}

func digits(n, width int) string {
	text := strconv.Itoa(n)
	for len(text) < width {
		text = "0" + text
	}
	return text
}

// floor is a/b rounded down; b is positive.
func floor(a, b int) int {
	if a < 0 {
		return -((b - 1 - a) / b)
	}
	return a / b
}
