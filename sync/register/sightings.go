package register

import (
	"cmp"
	"slices"
)

// sightings is what an entry saw: for each device the highest deviceSeq, by device.
type sightings []sighting

type sighting struct {
	device string
	seq    uint64
}

func (s sightings) sort() {
	slices.SortFunc(s, func(a, b sighting) int { return cmp.Compare(a.device, b.device) })
}

func (s sightings) find(device string) (int, bool) {
	if len(s) == 0 { // as nearly always
		return 0, false
	}
	return slices.BinarySearchFunc(s, device, func(seen sighting, device string) int { return cmp.Compare(seen.device, device) })
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
		return slices.Insert(s, i, sighting{device, seq})
	}
	s[i].seq = max(s[i].seq, seq)
	return s
}

// joined is s with all of another seen; s is not to be used any more.
func (s sightings) joined(other sightings) sightings {
	for _, seen := range other {
		s = s.raised(seen.device, seen.seq)
	}
	return s
}

func sightingsOf(saw map[string]uint64) sightings {
	out := make(sightings, 0, len(saw))
	for device, seq := range saw {
		out = append(out, sighting{device, seq})
	}
	out.sort()
	return out
}
