package gotables

import "errors"

// The shape of findfunctab (symtab.go: findfuncbucket): for every bucketSpan addresses the number of the function
// at its beginning, and 16 bytes, what to add to it for each sixteenth part.
const (
	bucketSpan  = 4096
	bucketParts = 16
	bucketBytes = 4 + bucketParts
	bucketsEach = 1 << 16 / bucketSpan // addresses of a function on wasm are its number, shifted by 16
)

// together is how many functions share one entry of the finder.
const together = 16

// coarsenFinder lets every bucket begin with the first of the functions that stand together.
func (t *tables) coarsenFinder() error {
	parts := (t.pcRange + bucketSpan/bucketParts - 1) / (bucketSpan / bucketParts)
	buckets := (t.pcRange + bucketSpan - 1) / bucketSpan
	if t.pcRange < 0 || t.pcRange > t.count<<16 || t.finder.size != 4*buckets+parts {
		return errors.New("findfunctab is not as long as the functions' addresses ask for")
	}
	first := int(t.word(t.functions.at))
	for i := range t.count {
		if int(t.word(t.functions.at+8*i)) != first+i {
			return errors.New("the functions' numbers do not follow one another")
		}
	}
	for bucket := range buckets {
		at := t.finder.at + bucket*bucketBytes
		function := bucket / bucketsEach
		if int(t.word(at)) != function {
			return errors.New("findfunctab does not give a function 64 kB of addresses")
		}
		t.setWord(at, uint32(function/together*together))
	}
	return nil
}
