package boltstore

import (
	"slices"
	"sync"
)

// turnWork is how much of a device's work is done before it is the next one's turn.
const turnWork = 32

// frameEntries is how many entries a device sends at once, at most.
const frameEntries = 256

// queue holds the jobs that wait for the committer. Devices take turns, each with its own
// jobs in their order, so that none waits for all that another has sent.
type queue struct {
	wake chan struct{} // something has come

	mu    sync.Mutex
	turns []*line // of the devices that have something, the next first
}

// line is what waits of one device.
type line struct {
	device string
	jobs   []*job
}

func (q *queue) put(j *job) {
	q.mu.Lock()
	device := j.device()
	i := slices.IndexFunc(q.turns, func(l *line) bool { return l.device == device })
	if i < 0 {
		i = len(q.turns)
		q.turns = append(q.turns, &line{device: device})
	}
	q.turns[i].jobs = append(q.turns[i].jobs, j)
	q.mu.Unlock()
	select {
	case q.wake <- struct{}{}:
	default: // it is awake
	}
}

// next is the job whose turn it is, nil while there is none. It stays in the queue.
func (q *queue) next() *job {
	q.mu.Lock()
	defer q.mu.Unlock()
	if len(q.turns) == 0 {
		return nil
	}
	return q.turns[0].jobs[0]
}

// turn ends the turn of the next job's device: the job leaves the queue when it is over.
func (q *queue) turn(over bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	l := q.turns[0]
	q.turns = q.turns[1:]
	if over {
		l.jobs = l.jobs[1:]
	}
	if len(l.jobs) > 0 {
		q.turns = append(q.turns, l)
	}
}

// drop takes a job out wherever it is.
func (q *queue) drop(j *job) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.turns = slices.DeleteFunc(q.turns, func(l *line) bool {
		l.jobs = slices.DeleteFunc(l.jobs, func(one *job) bool { return one == j })
		return len(l.jobs) == 0
	})
}
