package model

import (
	"encoding/json"
	"fmt"

	"headcut/model/jsonvalue"
)

// SpacingRow is one row of a table of spacings: on a fall of at most UpToPct per cent, and
// above that of the row before, works stand at most SpacingM metres apart.
type SpacingRow struct {
	UpToPct  float64 `json:"upToPct"`
	SpacingM float64 `json:"spacingM"`
}

// spacingRowLimit bounds a table: published ones have a dozen rows.
const spacingRowLimit = 100

// wrongSpacings says what keeps raw from being a list of SpacingRow; whether its numbers
// make a table is for the computation to say.
func wrongSpacings(raw json.RawMessage) string {
	var rows []*SpacingRow
	if jsonvalue.Unmarshal(raw, &rows) != nil {
		return "is not a list of rows of a fall and a spacing"
	}
	if len(rows) > spacingRowLimit {
		return fmt.Sprintf("has %d rows and may have %d", len(rows), spacingRowLimit)
	}
	for i, row := range rows {
		if row == nil || row.UpToPct <= 0 || row.SpacingM <= 0 {
			return fmt.Sprintf("lacks the fall or the spacing in row %d", i+1)
		}
	}
	return ""
}
