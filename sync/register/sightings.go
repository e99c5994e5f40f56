package register

import "slices"

// sightings is what an entry saw: for each device the highest deviceSeq, by device.
type sightings []sighting

type sighting struct {
	device string
	seq    uint64
}

func (s sightings) find(device string) (int, bool) {
	low, high := 0, len(s)
	for low < high {
		if mid := int(uint(low+high) >> 1); s[mid].device < device {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return low, low < len(s) && s[low].device == device
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
	out := make(sightings, 0, len(saw)+1)
	for device, seq := range saw {
		out = out.raised(device, seq)
	}
	return out
}
