package levelling

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"headcut/model"
)

// draws is how many books are drawn; their spread is then sure to about 1 %.
const draws = 10_000

// spread is the standard deviation of drawn values.
func spread(values []float64) float64 {
	var mean, sum float64
	for i, v := range values {
		d := v - mean
		mean += d / float64(i+1)
		sum += d * (v - mean)
	}
	return math.Sqrt(sum / float64(len(values)-1))
}

func within5Percent(t *testing.T, what string, values []float64, stated float64) {
	t.Helper()
	got := spread(values)
	t.Logf("%s: stated %.6f, drawn %.6f, off by %.1f %%", what, stated, got, 100*(got/stated-1))
	if math.Abs(got/stated-1) > 0.05 {
		t.Errorf("%s: the stated plus-minus is %v, %d draws spread by %v", what, stated, draws, got)
	}
}

// TestSpreadOfLevels reads the staff again, 10,000 times over an open run of six set-ups,
// with an error of 3 mm in every reading.
func TestSpreadOfLevels(t *testing.T) {
	const readingMm = 3
	r := rand.New(rand.NewPCG(11, 12))
	level := []float64{100, 100.8, 101.1, 99.7, 98.2, 98.9, 100.3} // of the benchmark and each foresight
	levels := make([][]float64, len(level))
	var stated []float64
	for range draws {
		read := func(from float64, set int) *float64 {
			v := math.Round(1e4*(102+float64(set%2)-from+r.NormFloat64()*readingMm/1000)) / 1e4 // as closely as staffs are read
			return &v
		}
		var rows []model.LevelRow
		for i := range level {
			row := model.LevelRow{Point: fmt.Sprint("p", i)}
			if i > 0 {
				row.FS = read(level[i], i-1)
			}
			if i < len(level)-1 {
				row.BS = read(level[i], i)
			}
			if i == 0 {
				row.KnownLevelM = &level[0]
			}
			rows = append(rows, row)
		}
		run, err := Reduce(rows, Options{ReadingMm: readingMm})
		if err != nil {
			t.Fatal(err)
		}
		stated = stated[:0]
		for i, row := range run.Rows {
			levels[i] = append(levels[i], row.LevelM)
			stated = append(stated, row.PlusMinusM)
		}
	}
	for i := 1; i < len(level); i++ {
		within5Percent(t, fmt.Sprintf("level after %d set-ups", i), levels[i], stated[i])
	}
}
