package register

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
)

// StateVersion is the version of the form Encode writes.
const StateVersion = 1

// stateText is the form of a State, its names short because every feature is kept so.
type stateText struct {
	Version int                    `json:"v"`           // StateVersion
	N       uint64                 `json:"n"`           // number of the newest entry
	Tips    map[string]tipText     `json:"d"`           // by device
	Authors []authorText           `json:"a"`           // entries behind claims, by rank
	Claims  map[string][]claimText `json:"c"`           // by field, the winner first
	Strikes []strikeText           `json:"k,omitempty"` // the winner first
}

type tipText struct {
	Seq  uint64            `json:"q"`
	Eff  uint64            `json:"e"`
	Edit uint64            `json:"w,omitempty"`
	Saw  map[string]uint64 `json:"s,omitempty"`
}

type authorText struct {
	Device string `json:"d"`
	Seq    uint64 `json:"q"`
	Eff    uint64 `json:"e"`
	ID     ID     `json:"i,omitempty"` // this and what follows only when it has a contested claim
	Name   string `json:"n,omitempty"`
	SeenAt string `json:"t,omitempty"`
}

type claimText struct {
	Author int             `json:"a,omitempty"` // index into Authors
	Value  json.RawMessage `json:"v"`
}

type strikeText struct {
	claimText
	Unseen []claimText `json:"u,omitempty"`
}

// Encode writes the state; equal states give equal bytes.
func (s *State) Encode() []byte {
	out := stateText{Version: StateVersion, N: s.n, Tips: make(map[string]tipText, len(s.tips)),
		Authors: []authorText{}, Claims: make(map[string][]claimText, len(s.claims))}
	for device, t := range s.tips {
		out.Tips[device] = tipText{Seq: t.seq, Eff: uint64(t.eff), Edit: t.edit, Saw: t.saw}
	}
	index := s.authors(&out)
	text := func(c claim) claimText { return claimText{Author: index[c.author], Value: c.value} }
	for field, claims := range s.claims {
		for _, c := range claims {
			out.Claims[field] = append(out.Claims[field], text(c))
		}
	}
	for _, c := range s.strikes {
		k := strikeText{claimText: text(c.claim)}
		for _, u := range c.unseen {
			k.Unseen = append(k.Unseen, text(u))
		}
		out.Strikes = append(out.Strikes, k)
	}
	return plainJSON(out)
}

// authors lists each entry behind a claim once, and where it stands.
func (s *State) authors(out *stateText) map[*author]int {
	contested := make(map[*author]bool)
	for _, claims := range s.claims {
		for _, c := range claims {
			contested[c.author] = contested[c.author] || len(claims) > 1
		}
	}
	for _, c := range s.strikes {
		contested[c.author] = true
		for _, u := range c.unseen {
			contested[u.author] = true
		}
	}
	all := slices.SortedFunc(maps.Keys(contested), func(a, b *author) int { return a.rank(b) })
	index := make(map[*author]int, len(all))
	for i, a := range all {
		index[a] = i
		text := authorText{Device: a.device, Seq: a.seq, Eff: uint64(a.eff)}
		if contested[a] {
			text.ID, text.Name, text.SeenAt = a.id, a.name, a.seenAt
		}
		out.Authors = append(out.Authors, text)
	}
	return index
}

// DecodeState reads what Encode wrote.
func DecodeState(feature string, raw []byte) (*State, error) {
	var in stateText
	if err := json.Unmarshal(raw, &in); err != nil {
		return nil, fmt.Errorf("state of feature %s: %w", feature, err)
	}
	if in.Version != StateVersion {
		return nil, fmt.Errorf("state of feature %s has version %d; this program reads %d", feature, in.Version, StateVersion)
	}
	s := NewState(feature)
	s.n = in.N
	for device, t := range in.Tips {
		s.tips[device] = tip{seq: t.Seq, eff: Stamp(t.Eff), edit: t.Edit, saw: t.Saw}
	}
	authors := make([]*author, len(in.Authors))
	for i, a := range in.Authors {
		authors[i] = &author{device: a.Device, seq: a.Seq, eff: Stamp(a.Eff), id: a.ID, name: a.Name, seenAt: a.SeenAt}
	}
	sound := true
	read := func(c claimText) claim {
		if c.Author < 0 || c.Author >= len(authors) || len(c.Value) == 0 {
			sound = false
			return claim{author: &author{}}
		}
		return claim{authors[c.Author], c.Value}
	}
	for field, claims := range in.Claims {
		sound = sound && len(claims) > 0
		for _, c := range claims {
			s.claims[field] = append(s.claims[field], read(c))
		}
	}
	for _, k := range in.Strikes {
		c := strikeClaim{claim: read(k.claimText)}
		for _, u := range k.Unseen {
			c.unseen = append(c.unseen, read(u))
		}
		slices.SortFunc(c.unseen, func(a, b claim) int { return cmp.Compare(a.device, b.device) })
		s.strikes = append(s.strikes, c)
	}
	if !sound {
		return nil, fmt.Errorf("state of feature %s names an entry it does not have", feature)
	}
	return s, nil
}
