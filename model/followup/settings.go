package followup

import (
	"headcut/model"
	"headcut/model/monitor"
)

// usualWet is the wet season of the dry tropics' grazing country. Common practice, no source. It
// is taken until the property's own is set.
var usualWet = monitor.Season{FirstMonth: 11, LastMonth: 4}

// Wet is the wet season by which things are due and ages are counted.
type Wet struct {
	monitor.Season
	Set bool `json:"set"` // in the property's settings; else the usual one is taken
}

// settings are those of a property that this package needs.
type settings struct {
	wet         Wet
	thresholdMm float64 // rain of a day that is a storm; 0: not set
	currency    string  // by ISO 4217; "": not recorded, or not settled
}

func (p *property) settings() settings {
	out := settings{wet: Wet{Season: usualWet}}
	item := p.items[model.SettingsID(p.id)]
	for _, other := range p.order { // of a property that was joined to another, under its older id
		if (item == nil || item.Struck) && other.Kind == model.SettingsKind {
			item = other
		}
	}
	if item == nil || item.Struck {
		return out
	}
	first, hasFirst := item.Number("wetFirstMonth")
	last, hasLast := item.Number("wetLastMonth")
	own := monitor.Season{FirstMonth: int(first), LastMonth: int(last)}
	if what := item.Unsettled("wetFirstMonth", "wetLastMonth"); what != "" {
		p.leaveOut(item.Named(), "", "%s", unsettledWords(what))
	} else if hasFirst && hasLast && own.Check() == nil {
		out.wet = Wet{Season: own, Set: true}
	}
	if what := item.Unsettled("stormThresholdMm"); what != "" {
		p.leaveOut(item.Named(), "", "%s", unsettledWords(what))
	} else if mm, ok := item.Number("stormThresholdMm"); ok {
		out.thresholdMm = mm
	}
	if item.Unsettled("currency") == "" {
		out.currency = model.CurrencyCode(item.Text("currency"))
	}
	return out
}

// dry is the rest of the year.
func (w Wet) dry() monitor.Season {
	return monitor.Season{FirstMonth: w.LastMonth%12 + 1, LastMonth: (w.FirstMonth+10)%12 + 1}
}
