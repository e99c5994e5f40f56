package main

import (
	"fmt"
	"io"
	"os"
	"time"

	"golang.org/x/term"
)

// progress shows on a terminal how far long work has come, and is silent elsewhere, so
// that a log or a pipe holds results only.
type progress struct {
	out  io.Writer // nil: not a terminal
	what string
	next time.Time
}

func newProgress(w io.Writer, what string) *progress {
	if isTerminal(w) {
		return &progress{out: plainOutput(w), what: what}
	}
	return &progress{}
}

func isTerminal(w io.Writer) bool {
	f, ok := plainOutput(w).(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// at shows a count, at most ten times a second; total 0 means that it is not known.
func (p *progress) at(done, total int64, unit string) {
	if p.out == nil || time.Now().Before(p.next) {
		return
	}
	p.next = time.Now().Add(100 * time.Millisecond)
	if total > 0 {
		fmt.Fprintf(p.out, "\r\033[K%s: %d of %d %s (%d%%)", p.what, done, total, unit, 100*done/total)
		return
	}
	fmt.Fprintf(p.out, "\r\033[K%s: %d %s", p.what, done, unit)
}

// done takes the line away.
func (p *progress) done() {
	if p.out != nil {
		fmt.Fprint(p.out, "\r\033[K")
	}
}

// counted passes bytes through and shows how many.
type counted struct {
	io.Writer
	p *progress
	n int64
}

func (c *counted) Write(b []byte) (int, error) {
	n, err := c.Writer.Write(b)
	c.n += int64(n)
	c.p.at(c.n>>10, 0, "KiB")
	return n, err
}
