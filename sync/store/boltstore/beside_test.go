package boltstore

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/sync/store/storetest"
)

// worstBeside is how long an honest device may wait for an acknowledgement while another does
// its worst; on a machine whose processors are taken by others, as many times what it waits
// while that one is quiet.
const (
	worstBeside = 500 * time.Millisecond
	timesQuiet  = 20
)

// appendsBeside has an honest device send single entries until done is closed, and returns the
// longest time that one took.
func appendsBeside(t *testing.T, s *Store, m *storetest.Maker, done <-chan struct{}) (worst time.Duration) {
	t.Helper()
	for n := 0; ; n++ {
		raw := m.Entry(fmt.Sprint("head-", n%20), nil, "kind", `"gully-head"`, "headDepthM", "1.2")
		began := time.Now()
		r, err := s.Append(t.Context(), "p", []json.RawMessage{raw})
		if err != nil || r[0].N == 0 {
			t.Errorf("the honest device's entry: %+v, %v", r, err)
			return worst
		}
		worst = max(worst, time.Since(began))
		select {
		case <-done:
			return worst
		case <-time.After(2 * time.Millisecond): // an officer is slower
		}
	}
}

// TestNobodyHoldsUpTheOthers: what one device sends, whatever came before it, costs the
// others no more than half a second.
func TestNobodyHoldsUpTheOthers(t *testing.T) {
	const frame = 256
	fields := func(n int) []string { return []string{"kind", `"gully-head"`, "headDepthM", fmt.Sprint(n % 10)} }
	// grow makes a feature with a long history.
	grow := func(t *testing.T, s *Store, m *storetest.Maker, feature string, entries int) {
		for n := 0; n < entries; {
			var raw []json.RawMessage
			for ; len(raw) < 1000 && n < entries; n++ {
				raw = append(raw, m.Entry(feature, nil, fields(n)...))
			}
			appendNew(t, s, raw...)
		}
	}
	for _, attack := range []struct {
		name  string
		begin func(t *testing.T, s *Store) (send func() [][]json.RawMessage) // frames that are sent at once
	}{
		{"numbers used before, on a feature with 20,000 entries", func(t *testing.T, s *Store) func() [][]json.RawMessage {
			m := &storetest.Maker{Property: "p", Device: "attacker"}
			grow(t, s, m, "long", 20_000)
			return func() [][]json.RawMessage {
				m.Seq = 0
				raw := make([]json.RawMessage, frame)
				for i := range raw {
					raw[i] = m.Entry("long", nil, fields(i)...)
				}
				return [][]json.RawMessage{raw}
			}
		}},
		{"numbers left out before, on a feature with 20,000 entries", func(t *testing.T, s *Store) func() [][]json.RawMessage {
			m := &storetest.Maker{Property: "p", Device: "attacker", Seq: 100_000}
			grow(t, s, m, "long", 20_000)
			m.Seq = 0
			return func() [][]json.RawMessage {
				raw := make([]json.RawMessage, frame)
				for i := range raw {
					raw[i] = m.Entry("long", nil, fields(i)...)
				}
				return [][]json.RawMessage{raw}
			}
		}},
		{"numbers left out before, on 256 features with 100 entries", func(t *testing.T, s *Store) func() [][]json.RawMessage {
			m := &storetest.Maker{Property: "p", Device: "attacker", Seq: 100_000}
			for i := range frame {
				grow(t, s, m, fmt.Sprint("long-", i), 100)
			}
			m.Seq = 0
			return func() [][]json.RawMessage {
				raw := make([]json.RawMessage, frame)
				for i := range raw {
					raw[i] = m.Entry(fmt.Sprint("long-", i), nil, fields(i)...)
				}
				return [][]json.RawMessage{raw}
			}
		}},
		{"a feature that grows and grows", func(t *testing.T, s *Store) func() [][]json.RawMessage {
			m, n := &storetest.Maker{Property: "p", Device: "attacker"}, 0
			wide := func() json.RawMessage {
				set := []string{"kind", `"gully-head"`}
				for range 100 {
					n++
					set = append(set, fmt.Sprintf("field-%d", n), `"`+strings.Repeat("x", 2000)+`"`)
				}
				return m.Entry("wide", nil, set...)
			}
			for range 40 {
				if _, err := s.Append(t.Context(), "p", []json.RawMessage{wide(), wide(), wide(), wide(), wide()}); err != nil {
					t.Fatal(err)
				}
			}
			return func() [][]json.RawMessage { return [][]json.RawMessage{{m.Entry("wide", nil, fields(1)...)}} }
		}},
		{"claims to have seen forty thousand devices", func(t *testing.T, s *Store) func() [][]json.RawMessage {
			m, n := &storetest.Maker{Property: "p", Device: "attacker"}, 0
			claim := func(names int) json.RawMessage {
				saw := make(map[string]uint64, names)
				for range names {
					n++
					saw[fmt.Sprintf("0198f3a0-1111-7222-8333-%012x", n*7919%39_600)] = uint64(1 + n/39_600)
				}
				return m.Entry("seen", saw, fields(n)...)
			}
			for range 44 {
				appendNew(t, s, claim(900))
			}
			return func() [][]json.RawMessage {
				raw := make([]json.RawMessage, frame)
				for i := range raw {
					raw[i] = claim(60)
				}
				return [][]json.RawMessage{raw}
			}
		}},
		{"64 frames of 256 entries at once", func(t *testing.T, s *Store) func() [][]json.RawMessage {
			m := &storetest.Maker{Property: "p", Device: "attacker"}
			return func() [][]json.RawMessage {
				frames := make([][]json.RawMessage, 64)
				for f := range frames {
					for i := range frame {
						frames[f] = append(frames[f], m.Entry(fmt.Sprintf("gully-%d-%d", f, i), nil, fields(i)...))
					}
				}
				return frames
			}
		}},
	} {
		t.Run(attack.name, func(t *testing.T) {
			s := reopen(t, filepath.Join(t.TempDir(), "register.db"))
			send := attack.begin(t, s)
			honest := &storetest.Maker{Property: "p", Device: "honest"}
			quiet, over := make(chan struct{}), make(chan struct{})
			time.AfterFunc(time.Second, func() { close(quiet) })
			alone := appendsBeside(t, s, honest, quiet)
			var attacks int
			var busy time.Duration
			go func() {
				defer close(over)
				for began := time.Now(); time.Since(began) < 2*time.Second || attacks < 2; attacks++ {
					frames := send()
					at := time.Now()
					var sending sync.WaitGroup
					for _, raw := range frames {
						sending.Go(func() {
							if _, err := s.Append(t.Context(), "p", raw); err != nil {
								t.Error(err)
							}
						})
					}
					sending.Wait()
					busy += time.Since(at)
				}
			}()
			beside := appendsBeside(t, s, honest, over)
			t.Logf("worst acknowledgement %v alone, %v beside %d attacks of %v", alone, beside, attacks, busy/time.Duration(attacks))
			if beside > max(worstBeside, timesQuiet*alone) {
				t.Errorf("the honest device waited %v for an acknowledgement, want %v at most, or %d times the %v it waits alone", beside, worstBeside, timesQuiet, alone)
			}
			mustVerify(t, s)
		})
	}
}

// TestFeatureIsBounded: a feature that has grown to its limit takes no more, says so, and can
// still be struck out.
func TestFeatureIsBounded(t *testing.T) {
	s := openNew(t)
	m := &storetest.Maker{Property: "p", Device: "d"}
	refused, n := "", 0
	for ; refused == "" && n < 100; n++ {
		r, err := s.Append(t.Context(), "p", []json.RawMessage{m.Entry("wide", nil, "kind", `"gully-head"`, fmt.Sprint("field-", n), `"`+strings.Repeat("x", 200_000)+`"`)})
		if err != nil {
			t.Fatal(err)
		}
		refused = r[0].Refused
	}
	if n < 5 || n > featureBytes/200_000+2 || !strings.Contains(refused, "2 MB") {
		t.Errorf("entry %d of 200 KB is refused with %q, want it refused at %d bytes with the limit named", n, refused, featureBytes)
	}
	m.Seq-- // the number of the refused one is free
	appendNew(t, s, m.Strike("wide", nil, true), m.Entry("other", nil, "kind", `"gully-head"`))
	mustVerify(t, s)
}

// TestLongHistoryIsBounded: an entry that others have overtaken is folded on a feature with
// many entries, and refused on one with too many; what comes in order is taken there too.
func TestLongHistoryIsBounded(t *testing.T) {
	for _, c := range []struct {
		entries int
		taken   bool
	}{{pastInline / 2, true}, {pastInline * 3, true}, {pastEntries + 1, false}} {
		s := openNew(t)
		m := &storetest.Maker{Property: "p", Device: "d", Seq: 1}
		for n := 0; n < c.entries; {
			var raw []json.RawMessage
			for ; len(raw) < 1000 && n < c.entries; n++ {
				raw = append(raw, m.Entry("long", nil, "kind", `"gully-head"`, "headDepthM", fmt.Sprint(n%10)))
			}
			appendNew(t, s, raw...)
		}
		late := &storetest.Maker{Property: "p", Device: "d"} // its first, which came last
		r, err := s.Append(t.Context(), "p", []json.RawMessage{m.Entry("long", nil, "headDepthM", "1"), late.Entry("long", nil, "headDepthM", "2", "notes", `"late"`), m.Entry("long", nil, "headDepthM", "3")})
		if err != nil || r[0].N == 0 || r[2].N == 0 || (r[1].N > 0) != c.taken || !c.taken && !strings.Contains(r[1].Refused, "20000 entries") {
			t.Errorf("after %d entries, one before the late one, it, and one after it: %+v, %v; want the late one taken: %v", c.entries, r, err, c.taken)
		}
		if c.entries < pastEntries {
			mustVerify(t, s) // the fold is that of all entries
		}
	}
}
