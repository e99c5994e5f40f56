package model

import "strings"

// SpellingDistance is Levenshtein's: how many letters to add, drop or change.
func SpellingDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			changed := diagonal
			if a[i] != b[j] {
				changed++
			}
			diagonal = row[j+1]
			row[j+1] = min(changed, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// NearestName is the known name that the fewest changed letters lead to, "" when none is near
// enough to be a slip of the pen.
func NearestName(name string, known []string) string {
	best, fewest := "", 1+len(name)/3
	if len(name) > 64 {
		return ""
	}
	for _, k := range known {
		if d := SpellingDistance(strings.ToLower(name), strings.ToLower(k)); d <= fewest && (best == "" || d < fewest) {
			best, fewest = k, d
		}
	}
	return best
}
