package server

import (
	"fmt"

	"headcut/model"
	"headcut/model/figures"
	"headcut/model/works"
)

// workState is how a work on the ground does, and in sentences what is wrong with it.
// Only works that were built can fail or need attention.
// found is the day on which an inspection found that, "" when none did.
func workState(f model.Feature, sheet figures.Sheet, humpM float64) (state itemState, wrong []string, found string) {
	wrong = []string{}
	status := f.Status()
	if status == model.Failed {
		return failedState, append(wrong, failedSentence(f)), ""
	}
	if status != model.Built {
		return "", wrong, ""
	}
	// What an inspection found counts until the work is built again.
	if v := sheet.Visited; v != nil && v.ConditionOn >= dated(f.Text("builtOn")) {
		state, wrong, found = foundState(v)
	}
	if state == failedState {
		return state, wrong, found
	}
	for _, check := range sheet.Checks {
		if check.Verdict == model.Fails && !drowns(check, sheet, humpM) {
			state, wrong = attentionState, append(wrong, failing(check, sheet, humpM))
		}
	}
	if height, ok := sheet.Figure("crestHeightM"); ok && height.Value > works.MaxCrestM {
		state, wrong = attentionState, append(wrong, "It is higher than a porous dam should be: have an engineer look at it.")
	}
	return state, wrong, found
}

// foundState is what an inspection found to be wrong, and the day.
func foundState(v *figures.Visited) (state itemState, wrong []string, found string) {
	if v == nil || !isDate(v.ConditionOn) {
		return "", []string{}, ""
	}
	switch on := model.DayInWords(v.ConditionOn); v.Condition {
	case model.HasFailed:
		return failedState, []string{foundFailed(v.ConditionOn)}, v.ConditionOn
	case model.NeedsWork:
		return attentionState, []string{"Found to need work on " + on + "."}, v.ConditionOn
	}
	return "", []string{}, ""
}

// foundFailed words a failure: the day is when it was seen, since when it came about is seldom known.
func foundFailed(on string) string {
	return "Found failed on " + model.DayInWords(on) + ": it no longer does its job."
}

func failedSentence(f model.Feature) string {
	if on := f.Text("failedOn"); isDate(on) {
		return foundFailed(on)
	}
	return "Failed: it no longer does its job."
}

// drowns reports whether a dam only stands too high for the next one: silt comes to lie there,
// which scours nothing, where a gap does.
func drowns(check model.Check, sheet figures.Sheet, humpM float64) bool {
	step, ok := sheet.Figure("stepM")
	return check.Name == "dam-check" && check.Verdict == model.Fails && humpM == 0 && ok && step.Value < 0
}

// failing words a check that fails as a landholder sees it on the ground. humpM is of a damNote.
func failing(check model.Check, sheet figures.Sheet, humpM float64) string {
	switch step, ok := sheet.Figure("stepM"); {
	case check.Name == "dam-check" && humpM > 0:
		return "Between it and the next dam up the gully bed stands " + rounded(humpM, 1) + "\u00a0m above its top: water falls on bare bed there."
	case check.Name == "dam-check" && ok && step.Value > 0:
		return "There is a gap of " + rounded(step.Value, 1) + "\u00a0m up to the next dam: water falls on bare bed between the two."
	case check.Name == "dam-check" && ok:
		return "Drowned toe: it is " + rounded(-step.Value, 1) + "\u00a0m too high for the next dam up, so silt will bury the foot of that one."
	case check.Name == "contour-check":
		return "Part of it runs off the contour, so water can gather at its low end and cut."
	}
	return "It does not pass its check: ask the officer."
}

func plural(n int, noun string) string {
	if n == 1 {
		return noun
	}
	return noun + "s"
}

func years(first, last string) string {
	if first == last {
		return first
	}
	return first + "–" + last
}

// builtYear is the year in which a work that stands was built.
func builtYear(w *linkItem) string {
	if w.BuiltOn == "" || w.Status != model.Built {
		return ""
	}
	return w.BuiltOn[:4]
}

// watchOf is a sentence about an item that is not well, or a hazard.
func watchOf(item *linkItem, label string) watchRow {
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
	return watchRow{ID: item.ID, Text: text, State: item.State}
}

// lowered begins a sentence as one does after a colon: "I" and short forms stay.
func lowered(text string) string {
	if len(text) > 1 && text[0] >= 'A' && text[0] <= 'Z' && text[1] >= 'a' && text[1] <= 'z' {
		return string(text[0]+'a'-'A') + text[1:]
	}
	return text
}
