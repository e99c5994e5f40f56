// Package calendar is the calendar of model: days as numbers, and dates as ISO 8601 writes
// them. Model knows no clock and no time zone, and package time, which has both, weighs as
// much on a phone as several computations.
package calendar

import "strconv"

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
func Parse(text string) (number int, ok bool) {
	if len(text) != len("2024-11-30") || text[4] != '-' || text[7] != '-' {
		return 0, false
	}
	var parts [3]int
	for i, digits := range [3]string{text[:4], text[5:7], text[8:]} {
		for j := range len(digits) {
			if digits[j] < '0' || digits[j] > '9' {
				return 0, false
			}
			parts[i] = 10*parts[i] + int(digits[j]-'0')
		}
	}
	number = Number(parts[0], parts[1], parts[2])
	year, month, dayOfMonth := Date(number)
	return number, [3]int{year, month, dayOfMonth} == parts
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
