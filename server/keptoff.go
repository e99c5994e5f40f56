package server

import (
	"encoding/json"
	"slices"

	"headcut/export"
	"headcut/model"
	"headcut/sync/register"
)

// What decides whether the holder of a link sees a feature may itself be in clash: one phone marks it
// as sensitive, another says otherwise and had not seen that. Which claim stands first is then a matter of
// clocks, so it is kept off until somebody settles the clash: it can be shown later, and what was
// shown cannot be taken back.

// keptOff reports whether a feature that is not struck out is kept from whoever holds a link, though it may be of
// a kind that is shown: any standing claim says that it is sensitive or struck out, or of a kind that is not shown,
// or it is a visit and whose is in clash. So is one of which a file said something that is lost, until the file
// is taken in again or somebody says whether it is sensitive: the file may have said that it is.
func keptOff(f register.Folded) bool {
	if _, said := f.Fields["sensitive"]; export.Withheld(f.Fields) || f.Awaits && !said {
		return true
	}
	for _, clash := range f.Clashes {
		if withheld := withholders[clash.Field]; withheld != nil && slices.ContainsFunc(clash.Values, func(c register.Claim) bool { return withheld(f, c.Value) }) {
			return true
		}
	}
	return false
}

// withholders say, by the field that is in clash, whether one of its claims keeps a feature off.
var withholders = map[string]func(register.Folded, json.RawMessage) bool{
	"sensitive": func(_ register.Folded, claim json.RawMessage) bool { return export.Sensitive(claim) },
	"strike": func(f register.Folded, claim json.RawMessage) bool { // of two who disagree on a danger, the one who warns is believed
		return string(claim) == "true" && model.TextOf(f.Fields["kind"]) != "hazard"
	},
	"kind": func(f register.Folded, claim json.RawMessage) bool {
		return isVisit(f) || !sharedKind(model.TextOf(claim))
	},
	"of": func(f register.Folded, _ json.RawMessage) bool { return isVisit(f) },
}

func isVisit(f register.Folded) bool { return model.TextOf(f.Fields["kind"]) == "visit" }

// agreed is the feature of an entry's fold as a link takes it: with those of its photos alone that all
// standing claims name.
func agreed(f register.Folded) model.Feature {
	m := f.Model()
	for _, clash := range f.Clashes {
		if clash.Field != "photos" {
			continue
		}
		kept := photoList(m)
		for _, c := range clash.Values {
			other := photoList(model.Feature{Fields: map[string]json.RawMessage{"photos": c.Value}})
			kept = slices.DeleteFunc(kept, func(sha string) bool { return !slices.Contains(other, sha) })
		}
		m = withField(m, "photos", asJSON(kept))
	}
	return m
}
