package main

import (
	"strings"
	"testing"
	"time"
)

func TestProgress(t *testing.T) {
	for _, c := range []struct {
		done, total int64
		want        string
	}{
		{3, 10, "\r\033[KCopied: 3 of 10 files (30%)"},
		{10, 10, "\r\033[KCopied: 10 of 10 files (100%)"},
		{3, 0, "\r\033[KCopied: 3 files"},
	} {
		var out strings.Builder
		p := &progress{out: &out, what: "Copied"}
		p.at(c.done, c.total, "files")
		p.at(c.done, c.total, "files") // too soon
		if out.String() != c.want {
			t.Errorf("%d of %d: %q, want %q", c.done, c.total, &out, c.want)
		}
		p.next = time.Time{}
		if p.at(c.done, c.total, "files"); out.String() != c.want+c.want {
			t.Errorf("later: %q, want it twice", &out)
		}
		if p.done(); !strings.HasSuffix(out.String(), "\r\033[K") {
			t.Errorf("done: %q, want the line taken away", &out)
		}
	}
	silent := newProgress(new(strings.Builder), "Copied")
	silent.at(1, 2, "files") // to nobody
	silent.done()
}
