package register

import (
	"slices"

	"headcut/model"
	"headcut/model/jsonvalue"
)

// Fold works out a feature from its entries, given in any order and any number of times.
// Entries of other features and of newer versions are passed over.
func Fold(feature string, entries []Numbered) Folded {
	return Gather(feature, entries).Folded()
}

// Gather works out the state of a feature from all its entries. It is the rule; what
// [State.Apply] arrives at is the same, byte for byte.
func Gather(feature string, entries []Numbered) *State {
	h := newHistory(feature, entries)
	s := NewState(feature)
	authors := make(map[*node]*author, len(h.nodes))
	for _, n := range h.nodes {
		s.n = max(s.n, n.N)
		authors[n] = &author{id: n.Entry.ID, device: n.Entry.Device, seq: n.Entry.DeviceSeq,
			eff: n.eff, name: n.Entry.Author, seenAt: n.Entry.SeenAt}
		s.note(authors[n])
	}
	h.tips(s)
	for name, writers := range h.writers() {
		f := field{name: name}
		for _, w := range unsuperseded(writers) {
			f.claims = insert(f.claims, claim{authors[w], compact(w.Entry.Set.Get(name))})
		}
		s.fields = append(s.fields, f)
	}
	sortFields(s.fields)
	for _, w := range unsuperseded(h.strikers()) {
		c := strikeClaim{claim: claim{authors[w], strikeValue(*w.Entry.Strike)}}
		if *w.Entry.Strike {
			for _, edit := range h.unseenBy(w) {
				c.putUnseen(claim{authors[edit], setValue(edit.Entry.Set)})
			}
		}
		s.strikes = append(s.strikes, c)
	}
	model.SortStable(s.strikes, func(a, b strikeClaim) int { return a.rank(b.author) })
	return s
}

func (h *history) tips(s *State) {
	for device, all := range h.byDevice {
		t := tip{device: device, seq: all[len(all)-1].Entry.DeviceSeq}
		saw := make(map[string]uint64)
		for _, n := range all {
			if n.Entry.Set != nil {
				t.edit = n.Entry.DeviceSeq
			}
			if n.Entry.DeviceSeq == t.seq { // one entry, or more under a doubled deviceSeq
				t.eff = max(t.eff, n.above-1)
				join(saw, n.saw)
			}
		}
		t.saw = sightingsOf(saw)
		s.putTip(t)
	}
	for _, n := range h.nodes {
		s.claims(n.Entry.Saw)
	}
}

// writers finds for each field the last entries of each device that set it: earlier ones
// of the device are superseded by them.
func (h *history) writers() map[string][]*node {
	out := make(map[string][]*node)
	for _, all := range h.byDevice {
		last := make(map[string]uint64)
		for _, n := range slices.Backward(all) {
			for field := range n.Entry.Set.All() {
				if seq, ok := last[field]; !ok || seq == n.Entry.DeviceSeq {
					last[field] = n.Entry.DeviceSeq
					out[field] = append(out[field], n)
				}
			}
		}
	}
	return out
}

// strikers finds the last entries of each device that strike out or restore.
func (h *history) strikers() []*node {
	var out []*node
	for _, all := range h.byDevice {
		var last uint64
		for _, n := range slices.Backward(all) {
			if n.Entry.Strike != nil && (last == 0 || last == n.Entry.DeviceSeq) {
				last = n.Entry.DeviceSeq
				out = append(out, n)
			}
		}
	}
	return out
}

// unseenBy finds for each device its newest edit that neither saw the strike nor was seen
// by it.
func (h *history) unseenBy(strike *node) []*node {
	var out []*node
	for _, all := range h.byDevice {
		for _, n := range slices.Backward(all) {
			if strike.supersedes(n) {
				break // and so all before it
			}
			if n.Entry.Set != nil && !n.supersedes(strike) {
				out = append(out, n)
				break
			}
		}
	}
	return out
}

func unsuperseded(nodes []*node) []*node {
	var out []*node
	for _, n := range nodes {
		if !slices.ContainsFunc(nodes, func(other *node) bool { return other.supersedes(n) }) {
			out = append(out, n)
		}
	}
	return out
}

// sameValue tells whether two JSON values say the same: member order, white space and
// the spelling of numbers do not matter.
func sameValue(a, b string) bool {
	if a == b {
		return true
	}
	var x, y any
	if jsonvalue.Unmarshal([]byte(a), &x) != nil || jsonvalue.Unmarshal([]byte(b), &y) != nil {
		return false
	}
	return string(plainJSON(x)) == string(plainJSON(y))
}
