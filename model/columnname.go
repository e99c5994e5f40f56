package model

import "strings"

// ColumnName turns any text into the name of a column in an export, of letters, digits and
// underscores; intake knows the columns of an export by it again.
func ColumnName(text string) string {
	name := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_' {
			return r
		}
		return '_'
	}, text)
	if name == "" || name[0] >= '0' && name[0] <= '9' {
		name = "_" + name
	}
	return name
}
