package device

import (
	"testing"

	"headcut/sync/register"
)

// TestEntryTakesItsPlace: what the register has numbered stands where it stood without a number.
func TestEntryTakesItsPlace(t *testing.T) {
	p := &property{entries: map[string][]register.Numbered{}}
	entry := func(id register.ID, n uint64) register.Numbered {
		return register.Numbered{N: n, Entry: register.Entry{ID: id, Feature: "f"}}
	}
	for _, id := range []register.ID{"a", "b"} {
		p.keep(entry(id, 0))
	}
	p.keep(entry("b", 5))
	p.keep(entry("a", 6))
	if got := p.entries["f"]; len(got) != 2 || got[0].N != 6 || got[0].Entry.ID != "a" || got[1].N != 5 || got[1].Entry.ID != "b" {
		t.Errorf("kept are %+v", got)
	}
}
