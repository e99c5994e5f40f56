package demo

import (
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/figures"
	"headcut/sync/intake"
)

// The level book that is handed in reduces and closes: a newcomer tries it first.
func TestHandedInBookReduces(t *testing.T) {
	file, err := intake.Read("fence-track-levels.csv", strings.NewReader(HandedIn()["fence-track-levels.csv"]))
	if err != nil || len(file.Records) != 1 || len(file.Report) != 0 {
		t.Fatalf("reading the book: %d records, %v, %v; want one, without a remark", len(file.Records), file.Report, err)
	}
	run := model.Feature{ID: "book", Kind: "level-run", Fields: file.Records[0].Fields}
	sheet := figures.Survey(slices.Values([]model.Feature{run})).Of(run)
	if len(sheet.Checks) != 1 || sheet.Checks[0].Verdict != model.OK {
		t.Errorf("checks of the handed-in book: %+v, want it closed", sheet.Checks)
	}
}
