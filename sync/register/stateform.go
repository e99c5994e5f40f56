package register

import (
	"encoding/binary"
	"fmt"
	"slices"

	"headcut/model"
)

// StateVersion is the version of the form Encode writes, and of the fold that it holds.
const StateVersion = 4

// The form of a State. Every feature is kept so and read with each of its entries, hence
// it is terse: numbers are unsigned varints, effective stamps 8 bytes big-endian, texts
// their length and bytes, and devices and authors stand for their place in a table.
//
//	StateVersion (1 byte), n
//	devices: how many have written, then each name, rising
//	tips:    one a device: deviceSeq, effective stamp, deviceSeq of its newest edit, the
//	         highest above deviceSeq that was said to be seen or 0, how many it saw, each as
//	         device and deviceSeq
//	ahead:   how many others were said to be seen, then by rising device: name and the highest
//	         deviceSeq; or aheadLimit+1 alone when they are more than that
//	authors: how many, then by rank: device, deviceSeq, effective stamp, and 0; or 1, id,
//	         name and seenAt when one of its claims is contested, or it is the first or the
//	         newest entry, which are the last and the first of the list
//	claims:  how many fields, then by rising name: name, how many, each, the winner first,
//	         as author and value
//	strikes: how many, then, the winner first: author, value, how many edits it did not
//	         see, each as author and value

// Encode writes the state; equal states give equal bytes.
func (s *State) Encode() []byte { return s.Append(make([]byte, 0, 512)) }

// Append writes what Encode does after dst.
func (s *State) Append(dst []byte) []byte {
	w := stateWriter{buf: append(dst, StateVersion), state: s}
	w.number(s.n)
	w.tips(s)
	w.putAuthors(s)
	w.number(uint64(len(s.fields)))
	for i := range s.fields {
		w.text(s.fields[i].name)
		w.claims(s.fields[i].claims)
	}
	w.number(uint64(len(s.strikes)))
	for _, c := range s.strikes {
		w.claim(c.claim)
		w.claims(c.unseen)
	}
	return w.buf
}

type stateWriter struct {
	buf     []byte
	state   *State
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
	i, _ := w.state.place(name)
	w.number(uint64(i))
}

func (w *stateWriter) tips(s *State) {
	w.number(uint64(len(s.tips)))
	for i := range s.tips {
		w.text(s.tips[i].device)
	}
	for i := range s.tips {
		t := &s.tips[i]
		w.number(t.seq)
		w.stamp(t.eff)
		w.number(t.edit)
		w.number(t.ahead)
		w.number(uint64(len(t.saw)))
		for _, seen := range t.saw {
			w.device(seen.device)
			w.number(seen.seq)
		}
	}
	if s.crowded {
		w.number(aheadLimit + 1)
		return
	}
	w.number(uint64(len(s.ahead)))
	for _, named := range s.ahead {
		w.text(named.device)
		w.number(named.seq)
	}
}

// fewAuthors are found quicker one after the other than in a map.
const fewAuthors = 8

// putAuthors writes each entry behind a claim once.
func (w *stateWriter) putAuthors(s *State) {
	w.authors = make([]*author, 0, fewAuthors)
	shown := make([]*author, 0, fewAuthors) // with their words, some of them more than once
	for i := range s.fields {
		claims := s.fields[i].claims
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
	model.SortStable(w.authors, (*author).rank)
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
	w.text(c.value)
}

// DecodeState reads what Encode wrote. The state shares no memory with raw.
func DecodeState(feature string, raw []byte) (*State, error) {
	if len(raw) == 0 || raw[0] != StateVersion {
		return nil, fmt.Errorf("the state of feature %s is not of version %d", feature, StateVersion)
	}
	r := stateReader{formReader: formReader[string]{left: string(raw[1:])}}
	s := NewState(feature)
	s.n = r.number()
	r.devices = make([]string, r.count())
	for i := range r.devices {
		r.devices[i] = r.text()
	}
	r.rising(len(r.devices), func(i int) string { return r.devices[i] })
	s.tips = make([]tip, len(r.devices))
	for i, device := range r.devices {
		s.tips[i] = r.tip(device)
	}
	s.ahead, s.crowded = r.ahead()
	authors := make([]author, r.count())
	r.authors = make([]*author, len(authors))
	for i := range authors {
		authors[i] = r.author()
		r.authors[i] = &authors[i]
	}
	if n := len(r.authors); n > 0 {
		s.newest, s.first = r.authors[0], r.authors[n-1]
	}
	fields := r.count()
	s.fields = make([]field, fields, fields+4) // the next entry sets some more
	r.spare = make([]claim, fields)            // most have one
	for i := range s.fields {
		s.fields[i] = field{r.text(), r.claims()}
		r.broken = r.broken || len(s.fields[i].claims) == 0
	}
	r.rising(len(s.fields), func(i int) string { return s.fields[i].name })
	for range r.count() {
		s.strikes = append(s.strikes, strikeClaim{claim: r.claim(), unseen: r.claims()})
	}
	if r.broken || r.left != "" {
		return nil, fmt.Errorf("the state of feature %s is broken", feature)
	}
	return s, nil
}

// formReader reads what a form is made of; once broken it gives zero values.
type formReader[T string | []byte] struct {
	left   T
	broken bool
}

func (r *formReader[T]) fail() {
	r.broken, r.left = true, r.left[:0]
}

func (r *formReader[T]) number() uint64 {
	var n uint64
	for i := 0; i < len(r.left) && i < binary.MaxVarintLen64; i++ {
		n |= uint64(r.left[i]&0x7f) << (7 * i)
		if r.left[i] < 0x80 {
			r.left = r.left[i+1:]
			return n
		}
	}
	r.fail()
	return 0
}

func (r *formReader[T]) take(n uint64) (out T) {
	if n > uint64(len(r.left)) {
		r.fail()
		return out
	}
	out, r.left = r.left[:n], r.left[n:]
	return out
}

func (r *formReader[T]) text() T { return r.take(r.number()) }

// stateReader reads a state.
type stateReader struct {
	formReader[string]
	devices []string
	authors []*author
	spare   []claim // memory for claims, one each
}

// count is how many things follow, each of at least one byte.
func (r *stateReader) count() int {
	n := r.number()
	if n > uint64(len(r.left)) {
		r.fail()
		return 0
	}
	return int(n)
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

// rising fails when names do not rise.
func (r *stateReader) rising(count int, name func(i int) string) {
	for i := 1; i < count; i++ {
		if name(i-1) >= name(i) {
			r.fail()
			return
		}
	}
}

func (r *stateReader) tip(device string) tip {
	t := tip{device: device, seq: r.number(), eff: r.stamp(), edit: r.number(), ahead: r.number()}
	if n := r.count(); n > 0 {
		t.saw = make(sightings, n, n+1)
		for i := range t.saw {
			t.saw[i] = sighting{r.device(), r.number()}
		}
		r.rising(n, func(i int) string { return t.saw[i].device })
	}
	return t
}

func (r *stateReader) ahead() (named sightings, crowded bool) {
	n := r.number()
	if n > aheadLimit {
		if n > aheadLimit+1 {
			r.fail()
		}
		return nil, true
	}
	for range n {
		named = append(named, sighting{r.text(), r.number()})
	}
	r.rising(len(named), func(i int) string { return named[i].device })
	return named, false
}

func (r *stateReader) author() author {
	a := author{device: r.device(), seq: r.number(), eff: r.stamp()}
	if r.number() == 1 {
		a.id, a.name, a.seenAt = ID(r.text()), r.text(), r.text()
	}
	return a
}

func (r *stateReader) claims() (out []claim) {
	n := r.count()
	if n == 1 && len(r.spare) > 0 {
		out, r.spare = r.spare[:0:1], r.spare[1:]
	} else if n > 0 {
		out = make([]claim, 0, n)
	}
	for range n {
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
	return claim{r.authors[i], r.text()}
}
