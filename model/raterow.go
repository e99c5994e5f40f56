package model

import (
	"encoding/json"
	"fmt"
	"strings"

	"headcut/model/jsonvalue"
)

// RateRow is what the officer reckons for one unit of an item: a cost, hours of work, or both. What is
// absent is not known.
type RateRow struct {
	Item         string   `json:"item"`
	Unit         string   `json:"unit"`
	CostPerUnit  *float64 `json:"costPerUnit,omitempty"`
	HoursPerUnit *float64 `json:"hoursPerUnit,omitempty"`
}

// CurrencyCode is a text that is a code of ISO 4217, three capital letters; "" for any other.
func CurrencyCode(text string) string {
	if len(text) != 3 || strings.ContainsFunc(text, func(c rune) bool { return c < 'A' || c > 'Z' }) {
		return ""
	}
	return text
}

// rateRowLimit bounds a list of rates, as package works has it.
const rateRowLimit = 500

// wrongRates says what keeps raw from being a list of RateRow; whether its units can be counted in is for
// the computation to say.
func wrongRates(raw json.RawMessage) string {
	var rows []*RateRow
	if jsonvalue.Unmarshal(raw, &rows) != nil {
		return "is not a list of rates: item, unit, costPerUnit and hoursPerUnit"
	}
	if len(rows) > rateRowLimit {
		return fmt.Sprintf("has %d rates and may have %d", len(rows), rateRowLimit)
	}
	for i, row := range rows {
		switch {
		case row == nil || row.Item == "" || row.Unit == "":
			return fmt.Sprintf("lacks the item or the unit in rate %d", i+1)
		case row.CostPerUnit == nil && row.HoursPerUnit == nil:
			return fmt.Sprintf("lacks the cost and the hours in rate %d", i+1)
		case row.CostPerUnit != nil && *row.CostPerUnit < 0 || row.HoursPerUnit != nil && *row.HoursPerUnit < 0:
			return fmt.Sprintf("has a cost or hours below 0 in rate %d", i+1)
		}
	}
	return ""
}
