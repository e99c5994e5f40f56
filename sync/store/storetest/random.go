package storetest

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"headcut/sync/register"
	"headcut/sync/store"
)

// plainStore is a register as simple as can be, to compare others with.
type plainStore struct {
	entries []json.RawMessage
	byID    map[register.ID]string
	bySeq   map[string]register.ID
}

// take says what a store must make of an entry: its number, whether it was known, whether
// it is refused.
func (p *plainStore) take(raw json.RawMessage) (n uint64, known, refused bool) {
	e, err := register.Decode(raw)
	if err != nil {
		return 0, false, true
	}
	if old, ok := p.byID[e.ID]; ok {
		i := slices.IndexFunc(p.entries, func(r json.RawMessage) bool { return string(r) == old })
		return uint64(i + 1), old == string(raw), old != string(raw)
	}
	seq := fmt.Sprint(e.Device, "/", e.DeviceSeq)
	if _, ok := p.bySeq[seq]; ok {
		return 0, false, true
	}
	p.entries = append(p.entries, raw)
	p.byID[e.ID], p.bySeq[seq] = string(raw), e.ID
	return uint64(len(p.entries)), false, false
}

// Seed is RAPID_SEED, as the property tests take it: without it always the same, and a new one
// where it is 0.
func Seed() uint64 {
	text, set := os.LookupEnv("RAPID_SEED")
	seed, err := strconv.ParseUint(text, 10, 64)
	switch {
	case !set || err != nil:
		return 20261125
	case seed == 0:
		return uint64(time.Now().UnixNano())
	default:
		return seed
	}
}

// Random draws from [Seed], which it logs. Its draws are for one goroutine.
func Random(t interface{ Logf(string, ...any) }) *rand.Rand {
	seed := Seed()
	t.Logf("again with RAPID_SEED=%d", seed)
	return rand.New(rand.NewPCG(seed, 0))
}

// randomAgainstMap does random things to the store and to a plain list, and compares what
// both hold.
func randomAgainstMap(t T, s store.Register) {
	r := Random(t)
	plain := &plainStore{byID: map[register.ID]string{}, bySeq: map[string]register.ID{}}
	makers := []*Maker{{Property: "p", Device: "a"}, {Property: "p", Device: "b"}, {Property: "p", Device: "c"}}
	var later []json.RawMessage // made and not sent yet
	for range 60 {
		var batch []json.RawMessage
		for range 1 + r.IntN(8) {
			batch = append(batch, randomEntry(r, plain, makers, &later))
		}
		for i, got := range send(t, s, "p", batch...) {
			n, known, refused := plain.take(batch[i])
			if refused {
				n = 0
			}
			if got.N != n || got.Known != known || (got.Refused != "") != refused {
				t.Fatalf("receipt of %s = %+v, want number %d, known %v, refused %v", batch[i], got, n, known, refused)
			}
		}
		if r.IntN(6) == 0 {
			comparePlain(t, s, plain)
		}
	}
	comparePlain(t, s, plain)
}

// randomEntry is a new entry, one sent out of order, one sent again, or one falsified.
func randomEntry(r *rand.Rand, plain *plainStore, makers []*Maker, later *[]json.RawMessage) json.RawMessage {
	m := makers[r.IntN(len(makers))]
	feature := fmt.Sprint("f", r.IntN(6))
	saw := map[string]uint64{}
	for _, other := range makers {
		if other != m && other.Seq > 0 && r.IntN(2) == 0 {
			saw[other.Device] = 1 + r.Uint64N(other.Seq)
		}
	}
	switch what := r.IntN(12); {
	case what == 0 && len(plain.entries) > 0:
		return plain.entries[r.IntN(len(plain.entries))]
	case what == 1 && len(plain.entries) > 0:
		return json.RawMessage(strings.Replace(string(plain.entries[r.IntN(len(plain.entries))]), `"Officer`, `"Another`, 1))
	case what == 2 && m.Seq > 0:
		clone := *m
		clone.Seq = r.Uint64N(m.Seq)
		return clone.Entry(feature, nil, "name", `"clone"`)
	case what == 3:
		*later = append(*later, m.Entry(feature, saw, "name", fmt.Sprint(`"later `, r.IntN(3), `"`)))
		return m.Strike(feature, saw, r.IntN(2) == 0)
	case what == 4 && len(*later) > 0:
		raw := (*later)[0]
		*later = (*later)[1:]
		return raw
	case what == 5:
		return m.Entry(feature, saw, "geometry", Point(147+r.Float64(), -20))
	}
	return m.Entry(feature, saw, "name", fmt.Sprint(`"`, r.IntN(3), `"`), "notes", fmt.Sprint(`"`, r.IntN(3), `"`))
}

func comparePlain(t T, s store.Register, plain *plainStore) {
	t.Helper()
	all, _ := ReadAll(t, s, "p")
	if len(all) != len(plain.entries) {
		t.Fatalf("%d entries are read, want %d", len(all), len(plain.entries))
	}
	byFeature := make(map[string][]register.Numbered)
	for i, e := range all {
		if string(e.Raw) != string(plain.entries[i]) {
			t.Fatalf("entry %d is %s, want %s", i+1, e.Raw, plain.entries[i])
		}
		byFeature[e.Entry.Feature] = append(byFeature[e.Entry.Feature], e)
	}
	folded := features(t, s, "p")
	if len(folded) != len(byFeature) {
		t.Errorf("%d features are read, want %d", len(folded), len(byFeature))
	}
	for id, entries := range byFeature {
		sameFold(t, folded[id], entries)
	}
}
