package calendar

import (
	"strings"
	"testing"
	"time"
)

// TestAgainstTheStandardCalendar walks every day of the years 1600 to 2500.
func TestAgainstTheStandardCalendar(t *testing.T) {
	at := time.Date(1600, 1, 1, 0, 0, 0, 0, time.UTC)
	for ; at.Year() < 2501; at = at.AddDate(0, 0, 1) {
		want := int(at.Unix() / 86400)
		if at.Unix() < 0 {
			want = -int(-at.Unix() / 86400)
		}
		text := at.Format(time.DateOnly)
		if got := Number(at.Year(), int(at.Month()), at.Day()); got != want {
			t.Fatalf("Number of %s = %d, want %d", text, got, want)
		}
		if y, m, d := Date(want); y != at.Year() || m != int(at.Month()) || d != at.Day() {
			t.Fatalf("Date(%d) = %d-%d-%d, want %s", want, y, m, d, text)
		}
		if got := String(want); got != text {
			t.Fatalf("String(%d) = %s, want %s", want, got, text)
		}
	}
	for month := -30; month < 40; month++ {
		if got, want := Number(2023, month, 1), int(time.Date(2023, time.Month(month), 1, 0, 0, 0, 0, time.UTC).Unix()/86400); got != want {
			t.Errorf("Number(2023, %d, 1) = %d, want %d", month, got, want)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"2024-11-30", "2024-02-29", "2023-02-29", "1900-02-29", "2024-13-01", "2024-00-10", "2024-1-1", "2024-11-31", "0000-01-01", "9999-12-31", "+024-11-30", "2024/11/30", "", "2024-11-30T"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, ok := Parse(text)
		want, err := time.Parse(time.DateOnly, text)
		if ok != (err == nil) {
			t.Fatalf("Parse(%q) takes it: %t; package time says %v", text, ok, err)
		}
		if ok && int64(got)*86400 != want.Unix() {
			t.Fatalf("Parse(%q) = %d, want %d", text, got, want.Unix()/86400)
		}
	})
}

// An instant is what package time takes for one, but for what RFC 3339 has not: an hour of one digit, a
// comma for the point, a zone 24 hours off or of 60 minutes.
func FuzzIsInstant(f *testing.F) {
	for _, seed := range []string{"2024-11-30T09:05:00Z", "2024-11-30T09:05:00.25+10:00", "2024-11-30T09:05:00.+10:00", "2024-11-30T09:05:00,5Z", "2024-11-30T9:05:00Z", "2024-11-30T24:00:00Z",
		"2024-11-30T23:59:60Z", "2024-11-30T23:60:00Z", "2024-11-30t09:05:00z", "2024-02-30T09:05:00Z", "2024-11-30T09:05:00", "2024-11-30T09:05:00+24:00", "2024-11-30T09:05:00-23:59", "2024-11-30T09:05:00+10:60",
		"2024-11-30T09:05:00+1000", "2024-11-30T09:05:00.1234567890123Z", "2024-11-30 09:05:00Z", "2024-11-30T09-05:00Z", "2024-11-30T09:05:0aZ", "2024-11-30T09:05:00ZZ", ""} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		_, err := time.Parse(time.RFC3339Nano, text)
		want := err == nil
		if n := len(text); want {
			zone := text[n-1] != 'Z'
			want = text[13] == ':' && !strings.Contains(text, ",") && !(zone && (text[n-5:n-3] > "23" || text[n-2:] > "59"))
		}
		if got := IsInstant(text); got != want {
			t.Fatalf("IsInstant(%q) = %t, want %t (package time: %v)", text, got, want, err)
		}
	})
}
