package model

import (
	"encoding/json"
	"fmt"

	"headcut/model/jsonvalue"
)

// RainRow is one row of a place's rainfall table for one event: the mean intensity over a duration.
type RainRow struct {
	Minutes      float64 `json:"minutes"`
	IntensityMmH float64 `json:"intensityMmH"`
}

// rainRowLimit bounds a table, as package runoff has it.
const rainRowLimit = 1000

// wrongRain says what keeps raw from being a list of RainRow; whether its numbers make a table is for the
// computation to say.
func wrongRain(raw json.RawMessage) string {
	var rows []*RainRow
	if jsonvalue.Unmarshal(raw, &rows) != nil {
		return "is not a list of rows of minutes and intensityMmH"
	}
	if len(rows) > rainRowLimit {
		return fmt.Sprintf("has %d rows and may have %d", len(rows), rainRowLimit)
	}
	for i, row := range rows {
		if row == nil || row.Minutes <= 0 || row.IntensityMmH <= 0 {
			return fmt.Sprintf("lacks the minutes or the intensity in row %d", i+1)
		}
	}
	return ""
}
