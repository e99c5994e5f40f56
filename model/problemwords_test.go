package model

import (
	"strings"
	"testing"
)

func TestProblemsInWords(t *testing.T) {
	for _, c := range []struct {
		problem Problem
		want    string
	}{
		{Problem{Path: "rows[0].knownLevelM", Reason: "is missing: a run starts on a known level", Fix: "give the benchmark's level, or an assumed one such as 100"},
			"Row 1, known level is missing: a run starts on a known level. Give the benchmark's level, or an assumed one such as 100."},
		{Problem{Path: "bed[3].levelM", Reason: "the bed jumps 60 m in 2 m", Fix: "look for a slipped decimal point in the book"},
			"Point 4 of the bed, level: the bed jumps 60 m in 2 m. Look for a slipped decimal point in the book."},
		{Problem{Path: "dams[1].chainageM", Reason: "8 m is where another dam stands too"}, "Dam 2, chainage: 8 m is where another dam stands too."},
		{Problem{Path: "set.headDepthM", Reason: "120 is more than 50 m"}, "Head depth: 120 is more than 50 m."},
		{Problem{Path: "set.observedOn", Reason: "is not a date"}, "Observed is not a date."},
		{Problem{Path: "intensityMmH", Reason: "is missing"}, "Intensity is missing."},
		{Problem{Path: "visits[2].position", Reason: "lies 3000 m from the first fix"}, "Visit 3, position lies 3000 m from the first fix."},
		{Problem{Path: "[0].levelM", Reason: "is missing"}, "Point 1, level is missing."},
		{Problem{Path: "landTypes[0].quadrats.cutsG[4]", Reason: "is negative"}, "Land type 1, quadrats, cut 5 is negative."},
		{Problem{Path: "growthKgHaDay", Reason: "is negative"}, "Growth is negative."},
		{Problem{Path: "intakeKgDay", Reason: "is missing"}, "Intake is missing."},
		{Problem{Reason: "the book is empty"}, "The book is empty."},
		{Problem{Reason: "who are you?"}, "Who are you?"},
		{Problem{}, ""},
	} {
		if got := c.problem.Words(); got != c.want {
			t.Errorf("%+v in words is %q, want %q", c.problem, got, c.want)
		}
	}
}

func FuzzProblemInWords(f *testing.F) {
	f.Add("rows[0].knownLevelM", "is missing", "give it")
	f.Add("[", "x", "")
	f.Add("a[b].c]", "", "é")
	f.Fuzz(func(t *testing.T, path, reason, fix string) {
		p := Problem{Path: path, Reason: reason, Fix: fix}
		if words := p.Words(); strings.Contains(reason+fix, "[") == false && path == "rows[0].knownLevelM" && strings.Contains(words, "[") {
			t.Errorf("%q shows a path", words)
		}
	})
}
