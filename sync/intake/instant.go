package intake

import (
	"strings"
	"time"
)

// instant is a time of a file: an exact moment, and the day where the officer stood if
// the file's offset tells it.
type instant struct {
	at       time.Time // UTC; zero when unknown
	zoned    bool      // with an offset other than zero, so that localDay is known
	localDay string
}

// gpsEpoch is when GPS time begins: no receiver saw anything earlier, though one without
// a fix may write 1970 or worse.
var gpsEpoch = time.Date(1980, time.January, 6, 0, 0, 0, 0, time.UTC)

// parseInstant reads the dateTime of XML Schema, which RFC 3339 is the usual form of.
// noZone is true when text has no offset and was taken for UTC.
func parseInstant(text string) (when instant, noZone bool, reason string) {
	text = strings.Trim(text, " \t\r\n")
	t, err := time.Parse(time.RFC3339Nano, text)
	if err != nil {
		t, err = time.Parse("2006-01-02T15:04:05.999999999", text)
		noZone = err == nil
	}
	switch {
	case err != nil:
		return instant{}, false, quote(text) + " is not a time"
	case t.Before(gpsEpoch):
		return instant{}, false, quote(text) + " is before there was GPS: the clock was not set"
	case t.Year() > 9998:
		return instant{}, false, quote(text) + " is not a time of this age"
	}
	when.at = t.UTC()
	if _, offset := t.Zone(); offset != 0 {
		when.zoned, when.localDay = true, t.Format(time.DateOnly)
	}
	return when, noZone, ""
}

// day is the date where the officer stood, "" when unknown. Without an offset in the file
// it is the date by the sun at longitude lonDeg, which is the calendar's by daylight.
func (w instant) day(lonDeg float64) string {
	switch {
	case w.at.IsZero():
		return ""
	case w.zoned:
		return w.localDay
	}
	return w.at.Add(time.Duration(lonDeg / 15 * float64(time.Hour))).Format(time.DateOnly)
}
