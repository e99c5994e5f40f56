package server

import (
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/works"
)

// workState tells how a work on the ground does, and in sentences what is wrong with it.
// Only works that were built can fail or need attention.
func workState(f model.Feature, sheet figures.Sheet) (landState, []string) {
	wrong := []string{}
	status := f.Status()
	if status == model.Failed {
		return failedState, append(wrong, failedSentence(f))
	}
	if status != model.Built {
		return "", wrong
	}
	state := landState("")
	// What a visit found counts until the work is built again.
	if v := sheet.Visited; v != nil && isDate(v.ConditionOn) && v.ConditionOn >= dated(f.Text("builtOn")) {
		switch on := model.DayInWords(v.ConditionOn); v.Condition {
		case model.HasFailed:
			return failedState, append(wrong, "Found failed on "+on+".")
		case model.NeedsWork:
			state, wrong = attentionState, append(wrong, "Found to need work on "+on+".")
		}
	}
	for _, check := range sheet.Checks {
		if check.Verdict == model.Fails && !drowns(check, sheet) {
			state, wrong = attentionState, append(wrong, failing(check, sheet))
		}
	}
	if height, ok := sheet.Figure("crestHeightM"); ok && height.Value > works.MaxCrestM {
		state, wrong = attentionState, append(wrong, "It is higher than a porous dam should be: have an engineer look at it.")
	}
	return state, wrong
}

func failedSentence(f model.Feature) string {
	if on := f.Text("failedOn"); isDate(on) {
		return "Failed " + model.DayInWords(on) + ": it no longer does its job."
	}
	return "Failed: it no longer does its job."
}

// drowns tells whether a dam only stands too high for the next one: silt comes to lie there,
// which scours nothing, where a gap does.
func drowns(check model.Check, sheet figures.Sheet) bool {
	step, ok := sheet.Figure("stepM")
	return check.Name == "dam-check" && check.Verdict == model.Fails && ok && step.Value < 0
}

// failing words a check that fails as a landholder sees it on the ground.
func failing(check model.Check, sheet figures.Sheet) string {
	switch step, ok := sheet.Figure("stepM"); {
	case check.Name == "dam-check" && ok && step.Value > 0:
		return "There is a gap of " + rounded(step.Value, 1) + "\u00a0m up to the next dam: water falls on bare bed between the two."
	case check.Name == "dam-check" && ok:
		return "It is " + rounded(-step.Value, 1) + "\u00a0m too high for the next dam up: silt will bury the foot of that one."
	case check.Name == "contour-check":
		return "Part of it runs off the contour, so water can gather at its low end and cut."
	}
	return "It does not pass its check: ask the officer."
}

// sumUp fills in what was done in numbers, what to watch for, and the hazards.
func (v *landView) sumUp() {
	count := map[landState]int{}
	stages := map[model.Status]int{}
	first, last := "", ""
	for _, w := range v.Works {
		stages[w.Status]++
		count[w.State]++
		if w.State != "" {
			v.Watch = append(v.Watch, watchOf(w, v.labelOf(w)))
		}
		if year := builtYear(w); year != "" {
			if first == "" || year < first {
				first = year
			}
			last = max(last, year)
		}
	}
	add := func(n int, text string, state landState) {
		if n > 0 {
			v.Done = append(v.Done, landCount{n, text, state})
		}
	}
	built := stages[model.Built] + stages[model.Failed]
	add(built, plural(built, "work")+" built"+years(first, last), "")
	add(count[failedState], "failed", failedState)
	add(count[attentionState], map[bool]string{true: "needs attention", false: "need attention"}[count[attentionState] == 1], attentionState)
	add(stages[model.Pegged], "pegged, not built yet", "")
	add(stages[model.Proposed], "proposed", "")
	add(stages[model.Removed], "removed", "")
	for _, o := range v.Others {
		switch o.State {
		case dangerState:
			v.Hazards = append(v.Hazards, watchOf(o, v.labelOf(o)))
		case attentionState:
			v.Watch = append(v.Watch, watchOf(o, v.labelOf(o)))
		}
	}
	slices.SortStableFunc(v.Watch, func(a, b landWatch) int { return rankOf(a.State) - rankOf(b.State) })
}

func rankOf(s landState) int { return slices.Index([]landState{failedState, attentionState, ""}, s) }

func plural(n int, noun string) string {
	if n == 1 {
		return noun
	}
	return noun + "s"
}

func years(first, last string) string {
	switch {
	case first == "":
		return ""
	case first == last:
		return " " + first
	}
	return " " + first + "–" + last
}

// builtYear is the year in which a work that stands, or stood until it failed, was built.
func builtYear(w landItem) string {
	if w.BuiltOn == "" || w.Status != model.Built && w.Status != model.Failed {
		return ""
	}
	return w.BuiltOn[:4]
}

func (v *landView) labelOf(item landItem) string {
	at := slices.IndexFunc(v.Kinds, func(k landKind) bool { return k.Name == item.Kind })
	if at < 0 {
		return item.Kind
	}
	return v.Kinds[at].Label
}

func watchOf(item landItem, label string) landWatch {
	name := item.Name
	if name == "" {
		name = label + ", unnamed"
	}
	text := name + "."
	if len(item.Wrong) > 0 {
		text = fmt.Sprintf("%s: %s", name, lowered(item.Wrong[0]))
		for _, more := range item.Wrong[1:] {
			text += " " + more
		}
	}
	return landWatch{ID: item.ID, Text: text, State: item.State}
}

// lowered begins a sentence as one does after a colon: "I" and short forms stay.
func lowered(text string) string {
	if len(text) > 1 && text[0] >= 'A' && text[0] <= 'Z' && text[1] >= 'a' && text[1] <= 'z' {
		return string(text[0]+'a'-'A') + text[1:]
	}
	return text
}
