package levelling

import (
	"fmt"
	"testing"

	"headcut/model"
)

// BenchmarkReduce reduces a long day's book: 500 rows, a change point every fifth.
func BenchmarkReduce(b *testing.B) {
	rows := []model.LevelRow{{Point: "start", BS: metres(15_000), KnownLevelM: metres(1_000_000)}}
	for i := range 498 {
		row := model.LevelRow{Point: fmt.Sprint(i), IS: metres(10_000 + 7*i%9_000)}
		if i%5 == 4 {
			row.FS, row.BS, row.IS = row.IS, metres(14_000), nil
		}
		rows = append(rows, row)
	}
	rows = append(rows, model.LevelRow{Point: "end", FS: metres(12_000), KnownLevelM: metres(1_000_000)})
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Reduce(rows, Options{Adjust: AdjustAlways}); err != nil {
			b.Fatal(err)
		}
	}
}
