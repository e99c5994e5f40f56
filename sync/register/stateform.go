package register

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"
)

// StateVersion is the version of the form Encode writes.
const StateVersion = 2

// The form of a State. Every feature is kept so and read with each of its entries, hence
// it is terse: numbers are unsigned varints, effective stamps 8 bytes big-endian, texts
// their length and bytes, and devices and authors stand for their place in a table.
//
//	StateVersion (1 byte), n
//	devices: how many, then each name, rising
//	tips:    how many, then by rising device: device, deviceSeq, effective stamp, deviceSeq
//	         of its newest edit, how many it saw, each as device and deviceSeq
//	authors: how many, then by rank: device, deviceSeq, effective stamp, and 0; or 1, id,
//	         name and seenAt when one of its claims is contested, or it is the first or the
//	         newest entry, which are the last and the first of the list
//	claims:  how many fields, then by rising name: name, how many, each, the winner first,
//	         as author and value
//	strikes: how many, then, the winner first: author, value, how many edits it did not
//	         see, each as author and value

// Encode writes the state; equal states give equal bytes.
func (s *State) Encode() []byte {
	w := stateWriter{buf: make([]byte, 0, 512)}
	w.buf = append(w.buf, StateVersion)
	w.number(s.n)
	w.devices = s.devices()
	w.number(uint64(len(w.devices)))
	for _, device := range w.devices {
		w.text(device)
	}
	w.tips(s.tips)
	w.putAuthors(s)
	w.number(uint64(len(s.claims)))
	fields := make([]string, 0, 16)
	for field := range s.claims {
		fields = append(fields, field)
	}
	slices.Sort(fields)
	for _, field := range fields {
		w.text(field)
		w.claims(s.claims[field])
	}
	w.number(uint64(len(s.strikes)))
	for _, c := range s.strikes {
		w.claim(c.claim)
		w.claims(c.unseen)
	}
	return w.buf
}

// devices lists every device that the state names.
func (s *State) devices() []string {
	if len(s.tips) == 1 {
		for device, t := range s.tips {
			if _, own := t.saw[device]; len(t.saw) == 0 || own && len(t.saw) == 1 {
				return []string{device}
			}
		}
	}
	var all []string
	for device, t := range s.tips {
		all = append(all, device)
		for seen := range t.saw {
			all = append(all, seen)
		}
	}
	slices.Sort(all)
	return slices.Compact(all) // authors are among the devices with a tip
}

type stateWriter struct {
	buf     []byte
	devices []string
	authors []*author
	index   map[*author]int // of authors, when they are many
}

func (w *stateWriter) number(n uint64) { w.buf = binary.AppendUvarint(w.buf, n) }
func (w *stateWriter) stamp(s Stamp)   { w.buf = binary.BigEndian.AppendUint64(w.buf, uint64(s)) }

func (w *stateWriter) text(s string) {
	w.number(uint64(len(s)))
	w.buf = append(w.buf, s...)
}

func (w *stateWriter) device(name string) {
	i, _ := slices.BinarySearch(w.devices, name)
	w.number(uint64(i))
}

func (w *stateWriter) tips(tips map[string]tip) {
	w.number(uint64(len(tips)))
	for _, name := range w.devices {
		t, ok := tips[name]
		if !ok {
			continue
		}
		w.device(name)
		w.number(t.seq)
		w.stamp(t.eff)
		w.number(t.edit)
		w.number(uint64(len(t.saw)))
		for _, seen := range w.devices {
			if seq, ok := t.saw[seen]; ok {
				w.device(seen)
				w.number(seq)
			}
		}
	}
}

// fewAuthors are found quicker one after the other than in a map.
const fewAuthors = 8

// putAuthors writes each entry behind a claim once.
func (w *stateWriter) putAuthors(s *State) {
	w.authors = make([]*author, 0, fewAuthors)
	shown := make([]*author, 0, fewAuthors) // with their words, some of them more than once
	for _, claims := range s.claims {
		for _, c := range claims {
			w.gather(c.author)
			if len(claims) > 1 {
				shown = append(shown, c.author)
			}
		}
	}
	for _, c := range s.strikes {
		w.gather(c.author)
		shown = append(shown, c.author)
		for _, u := range c.unseen {
			w.gather(u.author)
			shown = append(shown, u.author)
		}
	}
	if s.newest != nil {
		w.gather(s.first)
		w.gather(s.newest)
		shown = append(shown, s.first, s.newest)
	}
	slices.SortFunc(w.authors, (*author).rank)
	if w.index != nil {
		for i, a := range w.authors {
			w.index[a] = i
		}
	}
	words := make([]bool, len(w.authors))
	for _, a := range shown {
		words[w.place(a)] = true
	}
	w.number(uint64(len(w.authors)))
	for i, a := range w.authors {
		w.device(a.device)
		w.number(a.seq)
		w.stamp(a.eff)
		if !words[i] {
			w.number(0)
			continue
		}
		w.number(1)
		w.text(string(a.id))
		w.text(a.name)
		w.text(a.seenAt)
	}
}

// gather puts an author among the others, once.
func (w *stateWriter) gather(a *author) {
	if w.index == nil {
		if slices.Contains(w.authors, a) {
			return
		}
		if w.authors = append(w.authors, a); len(w.authors) > fewAuthors {
			w.index = make(map[*author]int, 2*fewAuthors)
			for i, a := range w.authors {
				w.index[a] = i
			}
		}
		return
	}
	if _, ok := w.index[a]; !ok {
		w.index[a] = len(w.authors)
		w.authors = append(w.authors, a)
	}
}

func (w *stateWriter) place(a *author) int {
	if w.index != nil {
		return w.index[a]
	}
	return slices.Index(w.authors, a)
}

func (w *stateWriter) claims(claims []claim) {
	w.number(uint64(len(claims)))
	for _, c := range claims {
		w.claim(c)
	}
}

func (w *stateWriter) claim(c claim) {
	w.number(uint64(w.place(c.author)))
	w.text(string(c.value))
}

// DecodeState reads what Encode wrote. The state shares no memory with raw.
func DecodeState(feature string, raw []byte) (*State, error) {
	r := stateReader{text: string(raw)}
	if len(raw) == 0 || raw[0] != StateVersion {
		return nil, fmt.Errorf("the state of feature %s is not of version %d", feature, StateVersion)
	}
	r.text = r.text[1:]
	s := NewState(feature)
	s.n = r.number()
	for range r.count() {
		r.devices = append(r.devices, r.take(r.number()))
	}
	for range r.count() {
		name := r.device()
		t := tip{seq: r.number(), eff: r.stamp(), edit: r.number()}
		seen := r.count()
		t.saw = make(map[string]uint64, seen)
		for range seen {
			device := r.device()
			t.saw[device] = r.number()
		}
		s.tips[name] = t
	}
	for range r.count() {
		a := &author{device: r.device(), seq: r.number(), eff: r.stamp()}
		if r.number() == 1 {
			a.id, a.name, a.seenAt = ID(r.take(r.number())), r.take(r.number()), r.take(r.number())
		}
		r.authors = append(r.authors, a)
	}
	if n := len(r.authors); n > 0 {
		s.newest, s.first = r.authors[0], r.authors[n-1]
	}
	for range r.count() {
		field := r.take(r.number())
		s.claims[field] = r.claims()
		r.broken = r.broken || len(s.claims[field]) == 0
	}
	for range r.count() {
		s.strikes = append(s.strikes, strikeClaim{claim: r.claim(), unseen: r.claims()})
	}
	if r.broken || r.text != "" {
		return nil, fmt.Errorf("the state of feature %s is broken", feature)
	}
	return s, nil
}

// stateReader reads a state; once broken it gives zero values.
type stateReader struct {
	text    string
	broken  bool
	devices []string
	authors []*author
}

func (r *stateReader) fail() {
	r.broken, r.text = true, ""
}

func (r *stateReader) number() uint64 {
	var n uint64
	for i := 0; i < len(r.text) && i < binary.MaxVarintLen64; i++ {
		n |= uint64(r.text[i]&0x7f) << (7 * i)
		if r.text[i] < 0x80 {
			r.text = r.text[i+1:]
			return n
		}
	}
	r.fail()
	return 0
}

// count is how many things follow, each of at least one byte.
func (r *stateReader) count() int {
	n := r.number()
	if n > uint64(len(r.text)) {
		r.fail()
		return 0
	}
	return int(n)
}

func (r *stateReader) take(n uint64) string {
	if n > uint64(len(r.text)) {
		r.fail()
		return ""
	}
	out := r.text[:n]
	r.text = r.text[n:]
	return out
}

func (r *stateReader) stamp() (s Stamp) {
	for _, c := range []byte(r.take(8)) {
		s = s<<8 | Stamp(c)
	}
	return s
}

func (r *stateReader) device() string {
	i := r.number()
	if i >= uint64(len(r.devices)) {
		r.fail()
		return ""
	}
	return r.devices[i]
}

func (r *stateReader) claims() (out []claim) {
	for range r.count() {
		out = append(out, r.claim())
	}
	return out
}

func (r *stateReader) claim() claim {
	i := r.number()
	if i >= uint64(len(r.authors)) {
		r.fail()
		return claim{author: &author{}}
	}
	return claim{r.authors[i], json.RawMessage(r.take(r.number()))}
}
