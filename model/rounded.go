package model

import (
	"math"
	"strconv"
)

// RoundedDown writes a largest allowed value with so many decimals, never above the value,
// so that a limit takes in the figure it prints: 1.15 for 1.1587.
func RoundedDown(most float64, decimals int) string { return rounded(most, decimals, math.Floor) }

// RoundedUp writes a smallest allowed value with so many decimals, never below the value:
// 1.16 for 1.1504.
func RoundedUp(least float64, decimals int) string { return rounded(least, decimals, math.Ceil) }

func rounded(v float64, decimals int, to func(float64) float64) string {
	scale := math.Pow10(decimals)
	whole := math.Round(v * scale)
	if math.Abs(v*scale-whole) > 1e-12*max(1, math.Abs(whole)) { // else it is that value, but for its last bit
		whole = to(v * scale)
	}
	return strconv.FormatFloat(whole/scale, 'f', decimals, 64)
}
