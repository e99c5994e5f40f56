package register

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"

	"headcut/model"
)

// Folded is the feature as it is shown.
func (s *State) Folded() Folded {
	out := Folded{Feature: s.feature, Fields: make(map[string]json.RawMessage, len(s.fields)), N: s.n, Seen: s.seen(), Awaits: s.awaits()}
	if s.newest != nil {
		out.Recorded, out.Changed = s.first.word(), s.newest.word()
	}
	for i := range s.fields {
		f := &s.fields[i]
		if value := f.claims[0].value; value != "null" {
			out.Fields[f.name] = json.RawMessage(value)
		}
		if sides := distinct(f.claims); len(sides) > 1 {
			out.Clashes = append(out.Clashes, Clash{Field: f.name, Values: sides})
		}
	}
	if len(s.strikes) > 0 {
		out.Struck = s.strikes[0].strikesOut()
		if sides := s.strikeSides(); len(sides) > 1 {
			out.Clashes = append(out.Clashes, Clash{Field: strikeField, Values: sides})
		}
	}
	model.SortStable(out.Clashes, func(a, b Clash) int { return cmp.Compare(a.Field, b.Field) })
	return out
}

func (a *author) word() Word { return Word{Author: a.name, SeenAt: a.seenAt} }

func (s *State) seen() Fingerprint {
	seen := fnvStart
	for i := range s.tips {
		seen = and(seen, s.tips[i].device, s.tips[i].seq)
	}
	return seen
}

func (s *State) awaits() bool {
	return s.crowded || slices.ContainsFunc(s.ahead, func(of sighting) bool { return strings.HasPrefix(of.device, IntakePrefix) })
}

// distinct gives one side for each value, told by the claim that ranks first.
func distinct(claims []claim) []Claim {
	var sides []Claim
	for _, c := range claims {
		if !slices.ContainsFunc(sides, func(side Claim) bool { return sameValue(string(side.Value), c.value) }) {
			sides = append(sides, c.side())
		}
	}
	return sides
}

// strikeSides gives the strikes that differ, then each edit that one of them did not see.
func (s *State) strikeSides() []Claim {
	var strikes, edits []claim
	for _, c := range s.strikes {
		strikes = append(strikes, c.claim)
		for _, u := range c.unseen {
			if !slices.ContainsFunc(edits, func(e claim) bool { return e.author == u.author }) {
				edits = insert(edits, u)
			}
		}
	}
	sides := distinct(strikes)
	for _, e := range edits {
		sides = append(sides, e.side())
	}
	return sides
}

func (c claim) side() Claim {
	return Claim{Value: json.RawMessage(c.value), Entry: c.id, Device: c.device, Author: c.name, SeenAt: c.seenAt}
}
