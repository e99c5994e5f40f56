package register

import (
	"bytes"
	"cmp"
	"encoding/json"
	"maps"
	"slices"
)

// strikeField is the name under which striking out is folded and clashes.
const strikeField = "strike"

// State is all that must be kept of a feature's entries to fold in the next one.
type State struct {
	feature string
	n       uint64
	tips    map[string]tip     // by device
	claims  map[string][]claim // by field, the winner first
	strikes []strikeClaim      // the winner first

	first, newest *author // of all entries by rank, the last and the first; nil while there is none
}

// tip is a device's newest entry about the feature.
type tip struct {
	seq  uint64
	eff  Stamp             // its effective stamp, or the greatest in its circle
	edit uint64            // deviceSeq of its newest entry that sets fields, 0 for none
	saw  map[string]uint64 // all that the entry saw, by device the highest deviceSeq
}

// claim is a write that no other write of its field supersedes.
type claim struct {
	*author
	value json.RawMessage // compact
}

// strikeClaim is a claim of striking out or restoring. Unseen are the newest edits, one a
// device, that it did not see and that did not see it, when it strikes out.
type strikeClaim struct {
	claim
	unseen []claim // by device
}

// author is the entry behind a claim. Its id, name and seenAt are shown for clashes and for
// the first and the newest entry only, so a state that was encoded has them for those
// alone; known says whether.
type author struct {
	device string
	seq    uint64
	eff    Stamp
	id     ID
	name   string
	seenAt string
}

func (a *author) known() bool { return a.id != "" }

// rank orders claims: the winner first.
func (a *author) rank(b *author) int {
	return cmp.Or(cmp.Compare(b.eff, a.eff), cmp.Compare(b.device, a.device), cmp.Compare(b.seq, a.seq), cmp.Compare(b.id, a.id))
}

// NewState is a feature of which nothing is known.
func NewState(feature string) *State {
	return &State{feature: feature, tips: map[string]tip{}, claims: map[string][]claim{}}
}

// Empty tells whether no entry has been folded in.
func (s *State) Empty() bool { return s.n == 0 && len(s.tips) == 0 }

// Saw is what a device that has applied this state puts into Entry.Saw: by device, the
// highest deviceSeq, its own left out.
func (s *State) Saw(own string) map[string]uint64 {
	saw := make(map[string]uint64, len(s.tips))
	for device, t := range s.tips {
		if device != own {
			saw[device] = t.seq
		}
	}
	return saw
}

// Value is the value of a field, nil when nobody set it; the text null when it was cleared.
func (s *State) Value(field string) json.RawMessage {
	if claims := s.claims[field]; len(claims) > 0 {
		return claims[0].value
	}
	return nil
}

// Stamp is the greatest effective stamp so far; a device's next stamp goes above it.
func (s *State) Stamp() Stamp {
	var most Stamp
	for _, t := range s.tips {
		most = max(most, t.eff)
	}
	return most
}

// Apply folds in one more entry of the feature. When the entry has been overtaken, so
// that only a fold of all entries gives the right state, it changes nothing and returns
// false; [Gather] is to be called then. Entries of newer versions change nothing.
func (s *State) Apply(n Numbered) bool {
	e := &n.Entry
	if e.Version > Version {
		return true
	}
	if s.overtaken(e) {
		return false
	}
	saw, ok := s.see(e)
	if !ok {
		return false
	}
	if s.contests(e, saw) {
		return false
	}
	edit := s.tips[e.Device].edit
	if e.Strike != nil {
		if *e.Strike && s.unseenEdits(e.Device, saw) {
			return false // the clash quotes the edits, which are not kept here
		}
	} else {
		edit = e.DeviceSeq
	}
	by := &author{id: e.ID, device: e.Device, seq: e.DeviceSeq, eff: n.Capped, name: e.Author, seenAt: e.SeenAt}
	for device, seq := range saw {
		if t, ok := s.tips[device]; ok && t.seq <= seq {
			by.eff = max(by.eff, t.eff+1)
		}
	}
	if own, ok := s.tips[e.Device]; ok {
		if saw == nil {
			saw = make(map[string]uint64, 1)
		}
		saw[e.Device] = max(saw[e.Device], own.seq)
		by.eff = max(by.eff, own.eff+1)
	}
	s.n = max(s.n, n.N)
	s.tips[e.Device] = tip{seq: e.DeviceSeq, eff: by.eff, edit: edit, saw: saw}
	s.note(by)
	s.write(e, by, saw)
	return true
}

// note keeps an entry when it is the first or the newest.
func (s *State) note(by *author) {
	if s.newest == nil || by.rank(s.newest) < 0 {
		s.newest = by
	}
	if s.first == nil || by.rank(s.first) > 0 {
		s.first = by
	}
}

// overtaken tells whether an entry already here saw e.
func (s *State) overtaken(e *Entry) bool {
	for device, t := range s.tips {
		if t.saw[e.Device] >= e.DeviceSeq || device == e.Device && t.seq >= e.DeviceSeq {
			return true
		}
	}
	return false
}

// see works out all that e saw, but for its own device's tip. It fails when e names an entry that
// is here, but not as its device's newest nor known to one that e saw.
//
// What an entry that names none saw is what its device's tip saw, and the map of that: its place
// is about to be taken.
func (s *State) see(e *Entry) (map[string]uint64, bool) {
	if len(e.Saw) == 0 {
		return s.tips[e.Device].saw, true
	}
	saw := maps.Clone(e.Saw)
	if saw == nil {
		saw = make(map[string]uint64, 1)
	}
	if own, ok := s.tips[e.Device]; ok {
		saw[e.Device] = max(saw[e.Device], own.seq)
	}
	through := make(map[string]uint64) // seen through a newest entry: nothing more to add
	for device, seq := range saw {
		if t, ok := s.tips[device]; ok && t.seq <= seq {
			join(through, t.saw)
			through[device] = max(through[device], seq)
		}
	}
	for device, seq := range saw {
		if _, ok := s.tips[device]; ok && through[device] < seq {
			return nil, false
		}
	}
	join(saw, through)
	return saw, true
}

func (s *State) unseenEdits(own string, saw map[string]uint64) bool {
	for device, t := range s.tips {
		if device != own && t.edit > saw[device] {
			return true
		}
	}
	return false
}

// contests tells whether e clashes with a claim whose author is no longer known here.
func (s *State) contests(e *Entry, saw map[string]uint64) bool {
	if _, own := s.tips[e.Device]; own && len(s.tips) == 1 {
		return false
	}
	stands := func(a *author) bool { return a.device != e.Device && saw[a.device] < a.seq && !a.known() }
	for field := range e.Set {
		for _, c := range s.claims[field] {
			if stands(c.author) {
				return true
			}
		}
	}
	return false
}

// write puts the claims of an entry that no entry here saw.
func (s *State) write(e *Entry, by *author, saw map[string]uint64) {
	superseded := func(c claim) bool { return c.device == e.Device || saw[c.device] >= c.seq }
	for field, value := range e.Set {
		kept := slices.DeleteFunc(s.claims[field], superseded)
		s.claims[field] = insert(kept, claim{by, compact(value)})
	}
	if e.Strike != nil {
		s.strikes = slices.DeleteFunc(s.strikes, func(c strikeClaim) bool { return superseded(c.claim) })
		s.strikes = append(s.strikes, strikeClaim{claim: claim{by, strikeValue(*e.Strike)}})
		slices.SortFunc(s.strikes, func(a, b strikeClaim) int { return a.rank(b.author) })
		return
	}
	for i := range s.strikes {
		if c := &s.strikes[i]; c.strikesOut() && !superseded(c.claim) {
			c.putUnseen(claim{by, setValue(e.Set)})
		}
	}
}

func insert(claims []claim, c claim) []claim {
	if claims = append(claims, c); len(claims) == 1 {
		return claims
	}
	slices.SortFunc(claims, func(a, b claim) int { return a.rank(b.author) })
	return claims
}

func (c *strikeClaim) strikesOut() bool { return string(c.value) == "true" }

// putUnseen puts an edit in the place of an earlier one of its device.
func (c *strikeClaim) putUnseen(edit claim) {
	c.unseen = slices.DeleteFunc(c.unseen, func(u claim) bool { return u.device == edit.device })
	c.unseen = append(c.unseen, edit)
	slices.SortFunc(c.unseen, func(a, b claim) int { return cmp.Compare(a.device, b.device) })
}

func strikeValue(strike bool) json.RawMessage {
	if strike {
		return json.RawMessage("true")
	}
	return json.RawMessage("false")
}

// setValue is what an edit says, as one object with its fields in order.
func setValue(set map[string]json.RawMessage) json.RawMessage {
	return plainJSON(set)
}

// compact copies value, which Decode has read, without its white space.
func compact(value json.RawMessage) json.RawMessage {
	out := make(json.RawMessage, 0, len(value))
	inText, from := false, 0
	for i := 0; i < len(value); i++ {
		switch c := value[i]; {
		case c > '\\' || c > '"' && c < '\\' || c == '!':
		case c == '"':
			inText = !inText
		case c == '\\':
			i++
		case !inText: // a space, a tab or an end of line
			out = append(out, value[from:i]...)
			from = i + 1
		}
	}
	return append(out, value[from:]...)
}

// plainJSON writes v compactly, its text not escaped for HTML.
func plainJSON(v any) json.RawMessage {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if enc.Encode(v) != nil {
		return json.RawMessage("null") // cannot be: all values are texts, numbers and read JSON
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}
