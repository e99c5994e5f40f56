package model

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
