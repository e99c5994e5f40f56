package register

import (
	"cmp"
	"encoding/json"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"headcut/model"
	"headcut/model/jsonvalue"
)

// strikeField is the name under which striking out is folded and clashes.
const strikeField = "strike"

// State is all that must be kept of a feature's entries to fold in the next one. Its lists are
// short: they are quicker made and searched than maps.
type State struct {
	feature string
	n       uint64
	tips    []tip         // by device
	ahead   sightings     // devices that wrote nothing here, though entries say they saw what they wrote
	crowded bool          // those were more than aheadLimit: which is not known
	fields  []field       // by name
	strikes []strikeClaim // the winner first

	first, newest *author // of all entries by rank, the last and the first; nil while there is none
}

// tip is a device's newest entry about the feature.
type tip struct {
	device string
	seq    uint64
	eff    Stamp     // its effective stamp, or the greatest in its circle
	edit   uint64    // deviceSeq of its newest entry that sets fields, 0 for none
	ahead  uint64    // the highest deviceSeq above seq that an entry says it saw, 0 for none
	saw    sightings // all of the entries here that the entry saw
}

// aheadLimit is how many devices without an entry a state names because entries say they saw theirs:
// after a restore, phones send what saw entries that are yet to come again, of a few devices. Where
// there are more, the first entry of any device is folded by gathering.
const aheadLimit = 100

// field is the claims of a field, the winner first.
type field struct {
	name   string
	claims []claim
}

// claim is a write that no other write of its field supersedes.
type claim struct {
	*author
	value string // compact JSON
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
	if a.eff != b.eff {
		return cmp.Compare(b.eff, a.eff)
	}
	return cmp.Or(cmp.Compare(b.device, a.device), cmp.Compare(b.seq, a.seq), cmp.Compare(b.id, a.id))
}

// NewState is a feature of which nothing is known.
func NewState(feature string) *State { return &State{feature: feature} }

// Empty tells whether no entry has been folded in.
func (s *State) Empty() bool { return s.n == 0 && len(s.tips) == 0 }

// Saw is what a device that has applied this state puts into Entry.Saw: by device, the
// highest deviceSeq, its own left out.
func (s *State) Saw(own string) map[string]uint64 {
	saw := make(map[string]uint64, len(s.tips))
	for i := range s.tips {
		if t := &s.tips[i]; t.device != own {
			saw[t.device] = t.seq
		}
	}
	return saw
}

// Value is the value of a field as compact JSON, "" when nobody set it, "null" when it was cleared.
func (s *State) Value(name string) string {
	if i, ok := find(s.fields, name); ok {
		return s.fields[i].claims[0].value
	}
	return ""
}

// Kind is the feature's kind, "" when it has none.
func (s *State) Kind() string {
	value := s.Value("kind")
	if value == "" {
		return ""
	}
	if len(value) > 1 && value[0] == '"' && strings.IndexByte(value, '\\') < 0 {
		return value[1 : len(value)-1]
	}
	return model.TextOf(json.RawMessage(value))
}

// Stamp is the greatest effective stamp so far; a device's next stamp goes above it.
func (s *State) Stamp() Stamp {
	var most Stamp
	for i := range s.tips {
		most = max(most, s.tips[i].eff)
	}
	return most
}

// find is the place of a field among those by name, which may be many.
func find(fields []field, name string) (int, bool) {
	return sort.Find(len(fields), func(i int) int { return strings.Compare(name, fields[i].name) })
}

func sortFields(fields []field) {
	model.SortStable(fields, func(a, b field) int { return strings.Compare(a.name, b.name) })
}

// tip is the newest entry of a device; nil when it wrote none.
func (s *State) tip(device string) *tip {
	if i, ok := s.place(device); ok {
		return &s.tips[i]
	}
	return nil
}

// place is where the tip of a device stands, or would.
func (s *State) place(device string) (int, bool) {
	return sort.Find(len(s.tips), func(i int) int { return strings.Compare(device, s.tips[i].device) })
}

func (s *State) putTip(new tip) {
	i, ok := s.place(new.device)
	if ok {
		s.tips[i] = new
		return
	}
	s.tips = model.Insert(s.tips, i, new)
	if i, ok := s.ahead.find(new.device); ok {
		s.ahead = slices.Delete(s.ahead, i, i+1)
	}
}

// reach is the highest deviceSeq of a device that is here or that an entry says it saw.
func (s *State) reach(device string) uint64 {
	if t := s.tip(device); t != nil {
		return max(t.seq, t.ahead)
	}
	if s.crowded {
		return math.MaxUint64
	}
	return s.ahead.of(device)
}

// claims takes note of what an entry says it saw and that is not here.
func (s *State) claims(saw map[string]uint64) {
	for device, seq := range saw {
		if t := s.tip(device); t != nil {
			if seq > t.seq {
				t.ahead = max(t.ahead, seq)
			}
			continue
		}
		if s.crowded {
			continue
		}
		if s.ahead = s.ahead.raised(device, seq); len(s.ahead) > aheadLimit {
			s.ahead, s.crowded = nil, true
		}
	}
}

// Apply folds in one more entry of the feature, those of a register in the order of their numbers.
// When the entry has been overtaken, so that only a fold of all entries gives the right state, it
// changes nothing and returns false; [Gather] is to be called then. Entries of newer versions
// change nothing.
func (s *State) Apply(n Numbered) bool {
	e := &n.Entry
	if e.Version > Version {
		return true
	}
	if n.N != 0 && n.N < s.n || s.overtaken(e) {
		return false
	}
	saw, ok := s.see(e)
	if !ok {
		return false
	}
	if s.contests(e, saw) {
		return false
	}
	own := s.tip(e.Device)
	var edit uint64
	if own != nil {
		edit = own.edit
	}
	if e.Strike != nil {
		if *e.Strike && s.unseenEdits(e.Device, saw) {
			return false // the clash quotes the edits, which are not kept here
		}
	} else {
		edit = e.DeviceSeq
	}
	by := &author{id: e.ID, device: e.Device, seq: e.DeviceSeq, eff: n.Capped, name: e.Author, seenAt: e.SeenAt}
	for _, seen := range saw {
		if t := s.tip(seen.device); t != nil && t.seq <= seen.seq {
			by.eff = max(by.eff, t.eff+1)
		}
	}
	if own != nil {
		saw = saw.raised(e.Device, own.seq)
		by.eff = max(by.eff, own.eff+1)
	}
	s.n = max(s.n, n.N)
	s.putTip(tip{device: e.Device, seq: e.DeviceSeq, eff: by.eff, edit: edit, saw: saw})
	s.claims(e.Saw)
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
	of := CopiedFrom(e.Device) // the same number of that device, or one after it, saw e
	return s.reach(e.Device) >= e.DeviceSeq || of != "" && s.reach(of) >= e.DeviceSeq
}

// see works out all that e saw, but for its own device's tip. It fails when e names an entry that
// is here, but not as its device's newest nor known to one that e saw.
//
// What an entry that names none saw is what its device's tip saw, and the list of that: its place
// is about to be taken.
func (s *State) see(e *Entry) (sightings, bool) {
	own := s.tip(e.Device)
	if len(e.Saw) == 0 && !s.hasCopies(own) {
		if own == nil {
			return nil, true
		}
		return own.saw, true
	}
	var through, older sightings // through a newest entry all is known that it saw
	for i := range s.tips {
		t := &s.tips[i]
		seq, ok := s.says(e, t)
		switch {
		case !ok:
			return nil, false
		case seq >= t.seq:
			through = through.joined(t.saw).raised(t.device, t.seq)
		case seq > 0:
			older = append(older, sighting{t.device, seq})
		}
	}
	for _, seen := range older {
		if through.of(seen.device) < seen.seq {
			return nil, false
		}
	}
	return through, true
}

// says is how far e says, or must, to have seen the entries of a tip's device. It fails when that is a
// copy and e saw earlier ones of its device alone: which, is not known here.
func (s *State) says(e *Entry, t *tip) (seq uint64, ok bool) {
	seq = e.Saw[t.device]
	if t.device == e.Device {
		return t.seq, true
	}
	of := CopiedFrom(t.device)
	if of == "" {
		return seq, true
	}
	upTo := e.Saw[of]
	if of == e.Device {
		upTo = e.DeviceSeq
	}
	if t.seq <= upTo {
		return max(seq, t.seq), true
	}
	return seq, upTo == 0
}

// hasCopies tells whether copies are here: never where own's device alone wrote.
func (s *State) hasCopies(own *tip) bool {
	if own != nil && len(s.tips) == 1 {
		return false
	}
	for i := range s.tips {
		if CopiedFrom(s.tips[i].device) != "" {
			return true
		}
	}
	return false
}

func (s *State) unseenEdits(own string, saw sightings) bool {
	for i := range s.tips {
		if t := &s.tips[i]; t.device != own && t.edit > saw.of(t.device) {
			return true
		}
	}
	return false
}

// contests tells whether e clashes with a claim whose author is no longer known here.
func (s *State) contests(e *Entry, saw sightings) bool {
	if len(s.tips) == 0 || len(s.tips) == 1 && s.tips[0].device == e.Device {
		return false
	}
	stands := func(a *author) bool { return a.device != e.Device && saw.of(a.device) < a.seq && !a.known() }
	for k := range e.Set {
		i, ok := find(s.fields, e.Set[k].Name)
		if !ok {
			continue
		}
		for _, c := range s.fields[i].claims {
			if stands(c.author) {
				return true
			}
		}
	}
	return false
}

// usualFields is how many fields most features come to have at most.
const usualFields = 12

// write puts the claims of an entry that no entry here saw.
func (s *State) write(e *Entry, by *author, saw sightings) {
	superseded := func(c claim) bool { return c.device == e.Device || saw.of(c.device) >= c.seq }
	size := 0
	for i := range e.Set {
		size += len(e.Set[i].Raw)
	}
	var values strings.Builder // of all fields, in one piece of memory
	values.Grow(size)
	if s.fields == nil {
		s.fields = make([]field, 0, max(usualFields, len(e.Set)))
	}
	known := len(s.fields)
	claims := make([]claim, len(e.Set)) // one for each field, where it had none
	for name, value := range e.Set.All() {
		start := values.Len()
		writeCompact(&values, value)
		c := claim{by, values.String()[start:]}
		i, ok := find(s.fields[:known], name)
		if !ok {
			i = len(s.fields)
			s.fields = append(s.fields, field{name, claims[:0:1]})
			claims = claims[1:]
		}
		f := &s.fields[i]
		f.claims = insert(slices.DeleteFunc(f.claims, superseded), c)
	}
	if known > 0 && len(s.fields) > known { // sorted once: to insert each would move all others each time
		sortFields(s.fields)
	}
	if e.Strike != nil {
		s.strikes = slices.DeleteFunc(s.strikes, func(c strikeClaim) bool { return superseded(c.claim) })
		s.strikes = append(s.strikes, strikeClaim{claim: claim{by, strikeValue(*e.Strike)}})
		model.SortStable(s.strikes, func(a, b strikeClaim) int { return a.rank(b.author) })
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
	model.SortStable(claims, func(a, b claim) int { return a.rank(b.author) })
	return claims
}

func (c *strikeClaim) strikesOut() bool { return c.value == "true" }

// putUnseen puts an edit in the place of an earlier one of its device.
func (c *strikeClaim) putUnseen(edit claim) {
	c.unseen = slices.DeleteFunc(c.unseen, func(u claim) bool { return u.device == edit.device })
	c.unseen = append(c.unseen, edit)
	model.SortStable(c.unseen, func(a, b claim) int { return cmp.Compare(a.device, b.device) })
}

func strikeValue(strike bool) string { return strconv.FormatBool(strike) }

// setValue is what an edit says, as one object with its fields in order.
func setValue(set model.FieldValues) string { return string(plainJSON(set.ByName())) }

// writeCompact copies value, which Decode has read, without its white space.
func writeCompact(out *strings.Builder, value json.RawMessage) {
	inText, from := false, 0
	for i := 0; i < len(value); i++ {
		switch c := value[i]; {
		case c > '\\' || c > '"' && c < '\\' || c == '!':
		case c == '"':
			inText = !inText
		case c == '\\':
			i++
		case !inText: // a space, a tab or an end of line
			out.Write(value[from:i])
			from = i + 1
		}
	}
	out.Write(value[from:])
}

func compact(value json.RawMessage) string {
	var out strings.Builder
	out.Grow(len(value))
	writeCompact(&out, value)
	return out.String()
}

// plainJSON writes v compactly, its text not escaped for HTML.
func plainJSON(v any) json.RawMessage {
	text, err := jsonvalue.Marshal(v)
	if err != nil {
		return json.RawMessage("null") // cannot be: all values are texts, numbers and read JSON
	}
	return text
}
