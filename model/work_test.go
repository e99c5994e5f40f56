package model

import (
	"math"
	"strings"
	"testing"
)

func TestWork(t *testing.T) {
	var none *Work
	if !none.Do(math.MaxInt) || none.Err() != nil {
		t.Error("a nil Work stops something")
	}
	w := &Work{Most: 10}
	if !w.Do(4) || !w.Do(6) || w.Err() != nil || w.Steps() != 10 {
		t.Errorf("10 of 10 steps: %d, %v", w.Steps(), w.Err())
	}
	if w.Do(math.MaxInt) || w.Do(0) || w.Steps() != 11 || !strings.Contains(w.Err().Error(), "more work") {
		t.Errorf("one step more: %d, %v", w.Steps(), w.Err())
	}
	asked := 0
	w = &Work{Most: math.MaxInt - 1, Gone: func() bool { asked++; return asked == 3 }}
	done := 0
	for w.Do(1) {
		done++
	}
	if done != 3*askedEvery-1 || !strings.Contains(w.Err().Error(), "nobody waits") {
		t.Errorf("the caller went at the third question: %d steps, %v", done, w.Err())
	}
}
