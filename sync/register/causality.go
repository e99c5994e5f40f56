package register

import (
	"cmp"
	"maps"
	"slices"

	"headcut/model"
)

// history is all folded entries of one feature, by device and deviceSeq, with what each
// of them saw.
type history struct {
	nodes    []*node
	byDevice map[string][]*node  // by rising deviceSeq
	copies   map[string][]string // the devices of copies, by the device they stand for
}

// node is an entry in its history.
type node struct {
	Numbered
	before  []*node           // the entries it names as seen: their own befores follow from them
	saw     map[string]uint64 // all it saw of the entries here, by device the highest deviceSeq
	eff     Stamp
	above   Stamp // one more than the greatest eff in its circle
	circle  int   // nodes of one circle claim, one through the other, to have seen each other
	low     int   // for the search of circles
	most    Stamp // the greatest capped stamp of its device up to it
	onStack bool
}

// newHistory orders the entries of feature that this program can fold, each once.
func newHistory(feature string, entries []Numbered) *history {
	once := make(map[ID]*node, len(entries))
	for _, n := range entries {
		if n.Entry.Feature != feature || n.Entry.Version > Version {
			continue
		}
		// A store never holds two entries of one id; keep the choice free of their order.
		if old, ok := once[n.Entry.ID]; ok && cmp.Or(slices.Compare(old.Hash[:], n.Hash[:]), cmp.Compare(old.N, n.N)) <= 0 {
			continue
		}
		once[n.Entry.ID] = &node{Numbered: n}
	}
	h := &history{nodes: slices.Collect(maps.Values(once)), byDevice: make(map[string][]*node)}
	model.SortStable(h.nodes, func(a, b *node) int {
		return cmp.Or(cmp.Compare(a.Entry.Device, b.Entry.Device), cmp.Compare(a.Entry.DeviceSeq, b.Entry.DeviceSeq),
			cmp.Compare(a.Entry.ID, b.Entry.ID))
	})
	for _, n := range h.nodes {
		device := n.Entry.Device
		if of := CopiedFrom(device); of != "" && len(h.byDevice[device]) == 0 {
			if h.copies == nil {
				h.copies = map[string][]string{}
			}
			h.copies[of] = append(h.copies[of], device)
		}
		n.most = n.Capped
		if before := h.byDevice[device]; len(before) > 0 {
			n.most = max(n.most, before[len(before)-1].most)
		}
		h.byDevice[device] = append(h.byDevice[device], n)
	}
	for _, n := range h.nodes {
		h.limitSaw(n)
	}
	for _, n := range h.nodes {
		n.before = h.latest(n.before, n.Entry.Device, n.Entry.DeviceSeq-1)
		n.before = h.latestCopies(n.before, n.Entry.Device, n.Entry.DeviceSeq)
		for device, seq := range n.Entry.Saw {
			n.before = h.latest(n.before, device, seq)
			n.before = h.latestCopies(n.before, device, seq)
		}
	}
	h.close()
	return h
}

// limitSaw takes out of what an entry says it saw the entries that cannot have been there: saw is
// a claim, and one far above all that a device has written would hide what it is yet to write.
// What came after n, or has not come yet, and has a stamp past n's arrival was written when n was
// here. Coming after it alone would not do: after a restore a phone may send what saw others'
// entries ahead of whoever wrote them.
func (h *history) limitSaw(n *node) {
	own := true // the claims are those of n.Entry, shared with the caller
	for device, seq := range n.Entry.Saw {
		limit := h.seeable(n, device, seq)
		for _, c := range h.copies[device] {
			limit = min(limit, h.seeable(n, c, seq))
		}
		if limit == seq {
			continue
		}
		if own {
			n.Entry.Saw, own = maps.Clone(n.Entry.Saw), false
		}
		n.Entry.Saw[device] = limit
	}
}

// seeable is the deviceSeq, at most seq, below the first of the device's entries that n cannot have seen.
func (h *history) seeable(n *node, device string, seq uint64) uint64 {
	all, arrived := h.byDevice[device], StampAt(n.Arrived.Time())
	from, _ := slices.BinarySearchFunc(all, arrived, func(f *node, arrived Stamp) int {
		if f.most < arrived {
			return -1
		}
		return 1
	})
	for _, f := range all[from:] {
		if f.Entry.DeviceSeq > seq {
			break
		}
		if f.WrittenAfter(&n.Numbered) {
			return f.Entry.DeviceSeq - 1
		}
	}
	return seq
}

// WrittenAfter tells whether n was not written yet when other came to the register, so that other
// cannot have seen it: it came later, or has not come, and has a stamp of other's arrival or past it.
// Which of two came later, in one millisecond too, their numbers say, unless the server's clock was
// set back between them. It looks at N, Capped and Arrived alone.
func (n *Numbered) WrittenAfter(other *Numbered) bool {
	if other.N == 0 || other.Arrived == 0 { // it is here only
		return false
	}
	return n.Capped >= StampAt(other.Arrived.Time()) && (n.N == 0 || n.N > other.N && n.Arrived >= other.Arrived)
}

// latest appends the device's last entries up to seq: one, unless two share a deviceSeq.
func (h *history) latest(to []*node, device string, seq uint64) []*node {
	all := h.byDevice[device]
	end := upTo(all, seq)
	for i := end - 1; i >= 0 && all[i].Entry.DeviceSeq == all[end-1].Entry.DeviceSeq; i-- {
		to = append(to, all[i])
	}
	return to
}

// upTo is how many of a device's entries, by rising deviceSeq, have one up to seq.
func upTo(all []*node, seq uint64) int {
	end, _ := slices.BinarySearchFunc(all, seq, func(n *node, seq uint64) int {
		if n.Entry.DeviceSeq <= seq {
			return -1
		}
		return 1
	})
	return end
}

// latestCopies appends of each copy of the device's entries the last up to seq: who saw an entry
// saw what was copied from it, the device that wrote it first of all.
func (h *history) latestCopies(to []*node, device string, seq uint64) []*node {
	for _, c := range h.copies[device] {
		to = h.latest(to, c, seq)
	}
	return to
}

// close fills in saw and eff, those of seen entries first. Entries that saw each other
// in a circle are impossible in honest histories; they are found as strongly connected
// components (Tarjan 1972) and share what they saw.
func (h *history) close() {
	var stack []*node
	next := 0
	var visit func(n *node)
	visit = func(n *node) {
		next++
		n.circle, n.low, n.onStack = next, next, true
		stack = append(stack, n)
		for _, b := range n.before {
			if b.circle == 0 {
				visit(b)
				n.low = min(n.low, b.low)
			} else if b.onStack {
				n.low = min(n.low, b.circle)
			}
		}
		if n.low != n.circle {
			return
		}
		i := len(stack) - 1 // from the end, where it stands: the stack may be long
		for stack[i] != n {
			i--
		}
		members := slices.Clone(stack[i:])
		stack = stack[:i]
		closeCircle(members)
	}
	for _, n := range h.nodes {
		if n.circle == 0 {
			visit(n)
		}
	}
}

// closeCircle settles the members of one circle, usually a single entry.
func closeCircle(members []*node) {
	in := make(map[*node]bool, len(members))
	for _, m := range members {
		in[m], m.onStack, m.circle = true, false, members[0].circle
	}
	saw := make(map[string]uint64)
	var base Stamp // above every entry seen outside the circle
	for _, m := range members {
		for _, b := range m.before {
			saw[b.Entry.Device] = max(saw[b.Entry.Device], b.Entry.DeviceSeq)
			if !in[b] {
				join(saw, b.saw)
				base = max(base, b.above)
			}
		}
	}
	model.SortStable(members, func(a, b *node) int {
		return cmp.Or(cmp.Compare(a.Entry.Device, b.Entry.Device), cmp.Compare(a.Entry.DeviceSeq, b.Entry.DeviceSeq))
	})
	var most Stamp
	for i, m := range members {
		m.saw, m.eff = saw, max(m.Capped, base)
		for j := i - 1; j >= 0 && members[j].Entry.Device == m.Entry.Device; j-- {
			if members[j].Entry.DeviceSeq < m.Entry.DeviceSeq {
				m.eff = max(m.eff, members[j].eff+1)
				break
			}
		}
		most = max(most, m.eff)
	}
	for _, m := range members {
		m.above = most + 1
	}
}

func join(into, from map[string]uint64) {
	for device, seq := range from {
		into[device] = max(into[device], seq)
	}
}

// supersedes tells whether a saw b and b did not see a; between entries of one device
// deviceSeq alone decides. It is a strict partial order.
func (a *node) supersedes(b *node) bool {
	if a.Entry.Device == b.Entry.Device {
		return b.Entry.DeviceSeq < a.Entry.DeviceSeq
	}
	return a.saw[b.Entry.Device] >= b.Entry.DeviceSeq && b.saw[a.Entry.Device] < a.Entry.DeviceSeq
}
