package compute

import "headcut/model"

// What one computation may do and answer, at every entry point alike, whatever it is given.
const (
	// MaxSteps is the most steps (model.Work) that one computation does: those of reading the
	// longest input and as many again. It takes some two seconds at most.
	MaxSteps = 2 * MaxInput

	leastMostAnswer = 512 << 10 // bytes that an answer to the shortest input may have,
	answerPerByte   = 16        // so many more for each byte of a longer one,
	mostMostAnswer  = 32 << 20  // and the longest no more than these
)

// Growth is how the steps of a computation grow, at worst, with the length n of its input.
// MaxSteps ends it whatever its growth.
type Growth string

// The growths, which TestCost fits. Where a computation takes no more than so many rows, it
// holds up to these.
const (
	Linear    Growth = "n"
	LogLinear Growth = "n log n" // something is sorted or looked for
	Squared   Growth = "n^2"     // each is compared with each; only where the input is bounded
)

func budget(gone func() bool) *model.Work { return &model.Work{Most: MaxSteps, Gone: gone} }

func mostAnswer(input int) int {
	return min(mostMostAnswer, leastMostAnswer+answerPerByte*input)
}
