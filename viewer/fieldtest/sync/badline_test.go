package sync

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"headcut/sync/store/storetest"
	"headcut/viewer/fieldtest/phone"
)

// newRigOn starts a phone that reaches the office over a line.
func newRigOn(t *testing.T, office *phone.Office, l *line) rig {
	t.Helper()
	p := phone.New(t, office)
	r := rig{p.Page, t, p, office, l.url(), storetest.Random(t)}
	r.load()
	r.enrol()
	return r
}

func host(url string) string { return strings.TrimPrefix(url, "http://") }

// TestDayOverABadLine records a day without signal and sends it over 1 Mbit/s, 300 ms and
// 2 % loss: entries first, all acknowledged within 10 s, and all of it within 1.3 times
// what a plain upload of the same bytes takes on such a line.
func TestDayOverABadLine(t *testing.T) {
	t.Parallel() // it mostly waits
	const entries, photoBytes = 300, 600_000
	photos := phone.Campaign(4, 60)
	bad := shape{bytesPerS: 1e6 / 8, delay: 150 * time.Millisecond, loss: 0.02}
	office := phone.NewOffice(t)
	l := newLine(t, host(office.URL))
	r := newRigOn(t, office, l)
	r.waitState("quiet")
	r.Offline(true)
	for left := entries - photos; left > 0; left -= 40 {
		r.capture(min(left, 40))
	}
	for range photos {
		phone.Eval[int](r.Page, fmt.Sprintf("rig.capture(1, 1, %d)", photoBytes))
	}
	r.waitState("no-answer")
	if got := r.waiting(); len(got.Entries) != entries || len(got.Photos) != photos {
		t.Fatalf("%d entries and %d photos wait, want %d and %d", len(got.Entries), len(got.Photos), entries, photos)
	}
	l.become(bad)
	before := l.up.carried.Load()
	plain := make(chan time.Duration)
	go func() { plain <- plainUpload(t, bad, photos*photoBytes) }()
	soon := r.Within(10*time.Second, 1)
	r.Offline(false)
	began := time.Now()
	r.sendNow()
	if !r.Comes("rig.counts().then(t => t.unsent === 0)", soon) {
		t.Errorf("%d entries are not acknowledged after %v\n%s", r.unsent(), soon, r.told())
	}
	acknowledged := time.Since(began)
	if got := r.waiting(); len(got.Photos) < photos-1 {
		t.Errorf("%d of %d photos wait when the entries are acknowledged: entries were to go first", len(got.Photos), photos)
	}
	limit := <-plain
	if !r.Comes("rig.counts().then(t => t.photosUnsent === 0)", limit*2+30*time.Second) {
		t.Fatalf("the photos are not sent: %+v\n%s", r.state(), r.told())
	}
	took := time.Since(began)
	l.become(shape{})
	sent := l.up.carried.Load() - before
	t.Logf("entries acknowledged after %.1f s; all after %.1f s, a plain upload of the photos' bytes takes %.1f s (the bare rate %.1f s); %.2f MB went up for %.2f MB of photos",
		acknowledged.Seconds(), took.Seconds(), limit.Seconds(), float64(photos*photoBytes)/bad.bytesPerS, float64(sent)/1e6, float64(photos*photoBytes)/1e6)
	if took > limit*13/10 {
		t.Errorf("the day took %.1f s, want at most 1.3 times the %.1f s of a plain upload", took.Seconds(), limit.Seconds())
	}
	r.waitState("quiet")
	r.checkNothingLost(true)
}

// TestPhotoGoesOnWhereItWasCut breaks the line in the middle of a large photo. That costs
// one part at most: the browser itself sends a part once more when its connection is reset.
func TestPhotoGoesOnWhereItWasCut(t *testing.T) {
	t.Parallel() // it mostly waits
	const photoBytes, cutAfter, part = 3_000_000, 2_000_000, 1 << 20
	for name, how := range map[string]func(*line, rig){
		"reset": func(l *line, _ rig) { l.cut() },
		"silent": func(l *line, r rig) { // the old connections stay open for ever; the new ones are good
			l.abandon()
			phone.Eval[bool](r.Page, `dispatchEvent(new Event("online"))`)
		},
	} {
		t.Run(name, func(t *testing.T) {
			office := phone.NewOffice(t)
			l := newLine(t, host(office.URL))
			r := newRigOn(t, office, l) // a new one: what a line carried once makes the parts larger
			r.waitState("quiet")
			l.become(shape{bytesPerS: 5e5, delay: 10 * time.Millisecond}) // too slow for larger parts
			before := l.up.carried.Load()
			phone.Eval[int](r.Page, fmt.Sprintf("rig.capture(1, 1, %d)", photoBytes))
			for deadline := time.Now().Add(30 * time.Second); l.up.carried.Load()-before < cutAfter; time.Sleep(5 * time.Millisecond) {
				if time.Now().After(deadline) {
					t.Fatalf("%d bytes went up in 30 s, want %d", l.up.carried.Load()-before, cutAfter)
				}
			}
			r.Expect("ERR_CONNECTION_RESET")
			r.Expect("409 (Conflict)") // of a part that the browser itself sends once more, when it had come whole
			how(l, r)
			l.become(shape{})
			if !r.Comes("rig.counts().then(t => t.photosUnsent === 0)", 90*time.Second) {
				t.Fatalf("the photo is not sent: %+v\n%s", r.state(), r.told())
			}
			r.waitState("quiet")
			r.checkNothingLost(true)
			sent := l.up.carried.Load() - before
			t.Logf("%.2f MB went up for a photo of %.2f MB", float64(sent)/1e6, float64(photoBytes)/1e6)
			if sent > photoBytes+part*5/4 {
				t.Errorf("%d bytes went up for a photo of %d, want at most a part of %d more", sent, photoBytes, part)
			}
		})
	}
}
