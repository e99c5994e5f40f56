package boltstore

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

// writtenRegister is a register of two properties, written in many commits over some days, and
// what is in it: the raw entries by property and number.
func writtenRegister(t *testing.T, path string) map[string][]string {
	t.Helper()
	now := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	s, err := Open(path, Options{Now: func() time.Time { return now }, NoFlush: true})
	if err != nil {
		t.Fatal(err)
	}
	all := map[string][]string{}
	for i := range 240 {
		property := []string{"creek", "creek", "ridge"}[i%3]
		now = now.Add(time.Duration(i%7) * time.Hour)
		e := register.Entry{Version: register.Version, ID: register.ID(fmt.Sprintf("019a0000-0000-7000-8000-%012x", i+1)), Property: property, Feature: fmt.Sprintf("f%d", i%40), Device: property + "-phone", DeviceSeq: uint64(len(all[property]) + 1),
			Stamp: register.StampAt(now.Add(time.Duration(i%5-2) * 48 * time.Hour)), SeenAt: now.Format(time.RFC3339), Author: "Ana", Set: model.FieldValuesOf(map[string]json.RawMessage{"kind": json.RawMessage(`"peg"`), "notes": json.RawMessage(fmt.Sprintf("%q", fmt.Sprint("note ", i, string(slices.Repeat([]byte("x"), i*7%900)))))})}
		raw, err := register.Encode(e)
		if err != nil {
			t.Fatal(err)
		}
		receipts, err := s.Append(t.Context(), property, []json.RawMessage{raw})
		if err != nil || receipts[0].Refused != "" {
			t.Fatal(err, receipts)
		}
		all[property] = append(all[property], string(raw))
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return all
}

// entriesIn are the entries of a property in a register, which must be sound.
func entriesIn(t *testing.T, path, property string) (all []register.Numbered) {
	t.Helper()
	s, err := Open(path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if _, err := s.Verify(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	all, _, err = s.EntriesAfter(t.Context(), property, store.Position{}, 1000)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// TestSalvageOfASoundRegister loses nothing: the entries keep their bytes, their order, when they
// arrived and how far their stamps count.
func TestSalvageOfASoundRegister(t *testing.T) {
	from, to := filepath.Join(t.TempDir(), "from"), filepath.Join(t.TempDir(), "to")
	all := writtenRegister(t, from)
	out, err := Salvage(t.Context(), from, to)
	if err != nil || !out.Sound() || out.Entries != 240 || len(out.Properties) != 2 {
		t.Fatalf("Salvage = %+v, %v", out, err)
	}
	for property := range all {
		got, want := entriesIn(t, to, property), entriesIn(t, from, property)
		for i := range want {
			if got[i].N != want[i].N || string(got[i].Raw) != string(want[i].Raw) || got[i].Capped != want[i].Capped || got[i].Arrived != want[i].Arrived {
				t.Fatalf("entry %d of %s is %+v, want %+v", i, property, got[i], want[i])
			}
		}
	}
	if _, err := Salvage(t.Context(), from, to); err == nil {
		t.Error("a register was replaced")
	}
}

// TestSalvageOfAFewEntries: bbolt keeps a bucket of a few entries within the page of its parent.
func TestSalvageOfAFewEntries(t *testing.T) {
	from, to := filepath.Join(t.TempDir(), "from"), filepath.Join(t.TempDir(), "to")
	s, err := Open(from, Options{})
	if err != nil {
		t.Fatal(err)
	}
	m := &storetest.Maker{Property: "p", Device: "a"}
	_, err = s.Append(t.Context(), "p", []json.RawMessage{m.Entry("f", nil, "kind", `"peg"`)})
	if err := errors.Join(err, s.Close()); err != nil {
		t.Fatal(err)
	}
	if out, err := Salvage(t.Context(), from, to); err != nil || !out.Sound() || out.Entries != 1 {
		t.Errorf("Salvage of one entry = %+v, %v", out, err)
	}
}

// TestSalvage damages a register in many ways, and holds what comes out of it to the register
// before: no entry is changed, and each that is not there is told, as long as one behind it or
// the property's row is left.
func TestSalvage(t *testing.T) {
	dir := t.TempDir()
	from := filepath.Join(dir, "from")
	all := writtenRegister(t, from)
	sound, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	page := os.Getpagesize()
	worst, told := 0, 0
	for seed := range uint64(24) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(seed, 1))
			file := slices.Clone(sound)
			switch seed % 4 {
			case 0: // pages of zeros, the meta pages among them
				for range 1 + rng.IntN(8) {
					clear(file[rng.IntN(len(file)/page)*page:][:page])
				}
				clear(file[:2*page])
			case 1: // bits
				for range 1 + rng.IntN(2000) {
					file[rng.IntN(len(file))] ^= 1 << rng.IntN(8)
				}
			case 2: // cut short
				file = file[:rng.IntN(len(file))]
			case 3: // a stretch of another file
				at := rng.IntN(len(file) - 1)
				copy(file[at:], slices.Repeat([]byte{0xa5}, rng.IntN(len(file)-at)))
			}
			damaged, to := filepath.Join(dir, fmt.Sprint("damaged", seed)), filepath.Join(dir, fmt.Sprint("to", seed))
			if err := os.WriteFile(damaged, file, 0o600); err != nil {
				t.Fatal(err)
			}
			out, err := Salvage(t.Context(), damaged, to)
			if err != nil {
				t.Fatal(err)
			}
			for property, entries := range all {
				i := slices.IndexFunc(out.Properties, func(p SalvagedProperty) bool { return p.ID == property })
				if i < 0 {
					worst++
					continue // nothing of it is left
				}
				p, kept := out.Properties[i], map[string]bool{}
				for _, n := range entriesIn(t, to, property) {
					kept[string(n.Raw)] = true
				}
				if uint64(len(kept)) != p.Entries || len(p.Refused) > 0 {
					t.Errorf("%d entries of %s are kept, %d are told, %v", len(kept), property, p.Entries, p.Refused)
				}
				for at, raw := range entries {
					n := uint64(at + 1)
					lost := slices.ContainsFunc(p.Lost, func(run NumberRun) bool { return run.First <= n && n <= run.Last })
					if lost {
						told++
					}
					behind := slices.ContainsFunc(entries[at:], func(raw string) bool { return kept[raw] })
					if kept[raw] == lost && (lost || behind) {
						t.Errorf("entry %d of %s is kept: %v, lost: %v", n, property, kept[raw], lost)
					}
					delete(kept, raw)
				}
				if len(kept) > 0 {
					t.Errorf("%d entries of %s are none of the register's", len(kept), property)
				}
			}
		})
	}
	if told == 0 {
		t.Error("nothing was ever lost: the damage says nothing")
	}
	t.Logf("%d lost entries were told; of %d registers nothing was left", told, worst)
}

// TestSalvageOfABackup takes its mark for no property, whatever its length.
func TestSalvageOfABackup(t *testing.T) {
	written := filepath.Join(t.TempDir(), "a")
	writtenRegister(t, written)
	file, err := os.ReadFile(written)
	if err != nil {
		t.Fatal(err)
	}
	for digits := range 10 {
		path := fmt.Sprint(written, digits)
		if err := os.WriteFile(path, file, 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := Open(path, Options{})
		if err != nil {
			t.Fatal(err)
		}
		nanos := 0
		for range digits {
			nanos = nanos*10 + 1
		}
		for range 9 - digits {
			nanos *= 10
		}
		if err := errors.Join(s.MarkBackup(time.Date(2026, 5, 1, 1, 2, 3, nanos, time.UTC)), s.Close()); err != nil {
			t.Fatal(err)
		}
		out, err := Salvage(t.Context(), path, path+"-salvaged")
		if err != nil || !out.Sound() || len(out.Properties) != 2 {
			t.Errorf("%d digits of a second: %v, %+v", digits, err, out)
		}
	}
}
