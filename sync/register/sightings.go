package register

import (
	"sort"
	"strings"

	"headcut/model"
)

// sightings is what an entry saw: for each device the highest deviceSeq, by device.
type sightings []sighting

type sighting struct {
	device string
	seq    uint64
}

func (s sightings) find(device string) (int, bool) {
	return sort.Find(len(s), func(i int) int { return strings.Compare(device, s[i].device) })
}

// of is the highest deviceSeq of a device, 0 when none of its entries was seen.
func (s sightings) of(device string) uint64 {
	if i, ok := s.find(device); ok {
		return s[i].seq
	}
	return 0
}

// raised is s with an entry of a device seen; s is not to be used any more.
func (s sightings) raised(device string, seq uint64) sightings {
	i, ok := s.find(device)
	if !ok {
		return model.Insert(s, i, sighting{device, seq})
	}
	s[i].seq = max(s[i].seq, seq)
	return s
}

// joined is a new list of what either has seen.
func (s sightings) joined(other sightings) sightings {
	out := make(sightings, 0, len(s)+len(other)+1)
	for len(s) > 0 && len(other) > 0 {
		switch c := strings.Compare(s[0].device, other[0].device); {
		case c < 0:
			out, s = append(out, s[0]), s[1:]
		case c > 0:
			out, other = append(out, other[0]), other[1:]
		default:
			out = append(out, sighting{s[0].device, max(s[0].seq, other[0].seq)})
			s, other = s[1:], other[1:]
		}
	}
	return append(append(out, s...), other...)
}

func sightingsOf(saw map[string]uint64) sightings {
	out := make(sightings, 0, len(saw)+1)
	for _, device := range model.Keys(saw) {
		out = append(out, sighting{device, saw[device]})
	}
	return out
}
