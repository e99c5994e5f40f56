package model

// Work counts what a computation does in steps and not in time, so that the same input is
// refused on every machine alike. A step is a byte read or written, or one turn of an inner
// loop: a tenth of a microsecond or less on a desk's processor. A nil *Work counts and stops
// nothing.
type Work struct {
	Most  int         // steps that may be done; more is refused
	Gone  func() bool // asked now and then: has the caller gone? nil: it has not
	steps int
	asked int // steps when Gone was last asked
	gone  bool
}

// askedEvery is how many steps lie between two questions: at most some two milliseconds.
const askedEvery = 1 << 14

// Do counts steps that are about to be done. It is false when they must not be, and from
// then on: the loop ends, whatever it has so far is worth nothing, and Err says why.
func (w *Work) Do(steps int) bool {
	if w == nil {
		return true
	}
	if w.gone || w.steps > w.Most {
		return false
	}
	if w.steps += min(steps, w.Most-w.steps+1); w.Gone != nil && w.steps-w.asked >= askedEvery {
		w.asked, w.gone = w.steps, w.Gone()
	}
	return !w.gone && w.steps <= w.Most
}

// Steps are those done so far, one more than Most when more were asked for.
func (w *Work) Steps() int { return w.steps }

// Err is nil, or the *Problem of work that was stopped.
func (w *Work) Err() error {
	switch {
	case w == nil:
	case w.gone:
		return &Problem{Reason: "the computation was stopped, since nobody waits for its answer"}
	case w.steps > w.Most:
		return &Problem{Reason: "this would take more work than one computation may", Fix: "give less at once: a part of it, or fewer positions"}
	}
	return nil
}
