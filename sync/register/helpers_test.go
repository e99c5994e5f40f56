package register

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/model"
)

// arrival is when the entries of these tests reach the server, unless a test says otherwise.
var arrival = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)

// play writes entries the short way: each says device, deviceSeq, the minute of its
// stamp, what it saw and what it sets.
type play struct {
	device string
	seq    uint64
	minute int
	saw    string // "a1 b2"
	says   string // "name=x status=null", "strike" or "restore"
}

func (p play) numbered(n int) Numbered {
	e := Entry{Version: 1, ID: testID(p.device, p.seq), Property: "p", Feature: "f", Device: p.device, DeviceSeq: p.seq,
		Stamp: StampAt(arrival.Add(time.Duration(p.minute) * time.Minute)), SeenAt: "2026-11-25T09:00:00Z", Author: "Officer " + p.device}
	for _, one := range strings.Fields(p.saw) {
		if e.Saw == nil {
			e.Saw = make(map[string]uint64)
		}
		var seq uint64
		fmt.Sscan(one[1:], &seq)
		e.Saw[one[:1]] = seq
	}
	switch p.says {
	case "strike", "restore":
		strike := p.says == "strike"
		e.Strike = &strike
	default:
		e.Set = model.FieldValues{}
		for _, one := range strings.Fields(p.says) {
			field, value, _ := strings.Cut(one, "=")
			e.Set = e.Set.With(field, json.RawMessage(value))
		}
	}
	return number(e, n)
}

func number(e Entry, n int) Numbered {
	raw, err := json.Marshal(e)
	if err != nil {
		panic(err)
	}
	return Numbered{N: uint64(n), Capped: Capped(e.Stamp, arrival), Arrived: ArrivedAt(arrival), Hash: HashOf(raw), Entry: e, Raw: raw}
}

func testID(device string, seq uint64) ID {
	return ID(fmt.Sprintf("019abc00-0000-7000-8000-%02x%010x", device[0], seq))
}

// applied folds entries one by one, gathering when one came overtaken, as a store does.
func applied(entries []Numbered) *State {
	s := NewState("f")
	var all []Numbered
	for _, n := range entries {
		all = append(all, n)
		if !s.Apply(n) {
			s = Gather("f", all)
		}
	}
	return s
}

func readLines(t testing.TB, name string) []string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
	if len(lines) < 1 || lines[0] == "" {
		t.Fatalf("testdata/%s has no entries", name)
	}
	return lines
}

// permutations calls f with each order of n things.
func permutations(n int, f func([]int)) {
	order := make([]int, 0, n)
	used := make([]bool, n)
	var next func()
	next = func() {
		if len(order) == n {
			f(order)
			return
		}
		for i := range n {
			if !used[i] {
				used[i] = true
				order = append(order, i)
				next()
				order, used[i] = order[:len(order)-1], false
			}
		}
	}
	next()
}

func timeMinutes(n int) time.Duration { return time.Duration(n) * time.Minute }
