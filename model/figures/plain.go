package figures

import (
	"time"

	"headcut/model"
)

// Plain says in short sentences what a landholder wants to know of a feature: how high,
// how long or how large it is, how far it has come, and what was found wrong with it.
// The sheet is the feature's own. There may be none.
func Plain(f model.Feature, s Sheet) []string {
	var all []string
	say := func(text string) { all = append(all, text) }
	if height, ok := s.Figure(crestHeight.name()); ok {
		say("About " + number(height.Value, 2) + " m high.")
	} else if m, ok := f.Number("heightM"); ok && m > 0 {
		say("About " + number(m, 2) + " m high.")
	}
	if m, ok := f.Number("headDepthM"); ok && m > 0 {
		say("The head is about " + number(m, 2) + " m deep.")
	}
	if m, ok := s.Figure(length.name()); ok && f.Kind != "check-dam" { // a dam's line is its crest, seen from above
		say(sentence(LengthWords(m.Value, m.PlusMinus), " long"))
	}
	if m2, ok := s.Figure(area.name()); ok {
		say("Covers " + AreaWords(m2.Value, m2.PlusMinus) + ".")
	} else {
		for _, c := range s.Cautions {
			if c.About == area.name() {
				say(c.Text)
			}
		}
	}
	if m, ok := s.Figure(chainage.name()); ok {
		say(sentence(LengthWords(m.Value, m.PlusMinus), " up the gully from its lower end"))
	}
	all = append(all, progress(f)...)
	for _, c := range s.Checks {
		if c.Verdict == model.Fails || c.Verdict == model.NotLevelled {
			say(c.Text)
		}
	}
	return all
}

// sentence puts what is measured behind its number: "120 m long, give or take 4 m."
func sentence(words, what string) string {
	for i := range words {
		if words[i] == ',' && i+1 < len(words) && words[i+1] == ' ' {
			return words[:i] + what + words[i:] + "."
		}
	}
	if words[0] == 'a' {
		words = "A" + words[1:]
	}
	return words + what + "."
}

// progress is how far a work has come.
func progress(f model.Feature) []string {
	status := f.Status()
	on := func(s model.Status) string {
		if day, err := time.Parse(time.DateOnly, f.Text(s.DateField())); err == nil {
			return " on " + day.Format("2 January 2006")
		}
		return ""
	}
	built := func() []string {
		if day := on(model.Built); day != "" {
			return []string{"Built" + day + "."}
		}
		return nil
	}
	switch status {
	case model.Proposed:
		return []string{"Proposed" + on(status) + "; nothing is on the ground yet."}
	case model.Pegged:
		return []string{"Pegged out" + on(status) + ", not built yet."}
	case model.Built:
		return []string{"Built" + on(status) + "."}
	case model.Failed:
		return append(built(), "Failed"+on(status)+".")
	case model.Removed:
		return append(built(), "Removed"+on(status)+".")
	}
	return nil
}
