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
// found is the day on which an inspection found that, "" when none did.
func workState(f model.Feature, sheet figures.Sheet, hump *works.Hump) (state landState, wrong []string, found string) {
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
		if check.Verdict == model.Fails && !drowns(check, sheet, hump) {
			state, wrong = attentionState, append(wrong, failing(check, sheet, hump))
		}
	}
	if height, ok := sheet.Figure("crestHeightM"); ok && height.Value > works.MaxCrestM {
		state, wrong = attentionState, append(wrong, "It is higher than a porous dam should be: have an engineer look at it.")
	}
	return state, wrong, found
}

// foundState is what an inspection found to be wrong, and the day.
func foundState(v *figures.Visited) (state landState, wrong []string, found string) {
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

// foundFailed tells of a failure: when it was seen is known, seldom when it came about.
func foundFailed(on string) string {
	return "Found failed on " + model.DayInWords(on) + ": it no longer does its job."
}

func failedSentence(f model.Feature) string {
	if on := f.Text("failedOn"); isDate(on) {
		return foundFailed(on)
	}
	return "Failed: it no longer does its job."
}

// drowns tells whether a dam only stands too high for the next one: silt comes to lie there,
// which scours nothing, where a gap does.
func drowns(check model.Check, sheet figures.Sheet, hump *works.Hump) bool {
	step, ok := sheet.Figure("stepM")
	return check.Name == "dam-check" && check.Verdict == model.Fails && hump == nil && ok && step.Value < 0
}

// failing words a check that fails as a landholder sees it on the ground. hump is what the
// bed does between a dam and the next; nil where it does not.
func failing(check model.Check, sheet figures.Sheet, hump *works.Hump) string {
	switch step, ok := sheet.Figure("stepM"); {
	case check.Name == "dam-check" && hump != nil:
		return "Between it and the next dam up the gully bed stands " + rounded(hump.AboveM, 1) + "\u00a0m above its top: water falls on bare bed there."
	case check.Name == "dam-check" && ok && step.Value > 0:
		return "There is a gap of " + rounded(step.Value, 1) + "\u00a0m up to the next dam: water falls on bare bed between the two."
	case check.Name == "dam-check" && ok:
		return "Drowned toe: it is " + rounded(-step.Value, 1) + "\u00a0m too high for the next dam up, so silt will bury the foot of that one."
	case check.Name == "contour-check":
		return "Part of it runs off the contour, so water can gather at its low end and cut."
	}
	return "It does not pass its check: ask the officer."
}

// sumUp fills in what was done in numbers, how much of it was inspected, what to watch for,
// and the hazards. Every number is one that the list and the map key show too.
func (v *landView) sumUp() {
	attention := 0
	stages := map[model.Status]int{}
	first, last := "", ""
	for _, items := range [][]landItem{v.Works, v.Others} {
		for _, item := range items {
			switch item.State {
			case dangerState:
				v.Hazards = append(v.Hazards, watchOf(item, v.labelOf(item)))
				continue
			case attentionState:
				attention++
			case "":
				continue
			}
			v.Watch = append(v.Watch, watchOf(item, v.labelOf(item)))
		}
	}
	slices.SortStableFunc(v.Watch, func(a, b landWatch) int { return rankOf(a.State) - rankOf(b.State) })
	for _, w := range v.Works {
		stages[w.Status]++
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
	add(stages[model.Built], plural(stages[model.Built], "work")+" built"+years(first, last), "")
	add(stages[model.Failed], "failed", failedState)
	add(attention, map[bool]string{true: "needs attention", false: "need attention"}[attention == 1], attentionState)
	add(stages[model.Pegged], "pegged, not built yet", "")
	add(stages[model.Proposed], "proposed", "")
	add(stages[model.Removed], "removed", "")
	add(stages[""], "with no stage recorded", "")
	v.Inspected = append(v.Inspected, v.inspections()...)
}

// inspections tells when something was last inspected and by whom, and how many of the works
// on the ground were since they were built.
func (v *landView) inspections() (sentences []string) {
	onGround, seen := 0, 0
	for _, w := range v.Works {
		if w.Status == model.Built || w.Status == model.Failed {
			onGround++
			if w.inspected {
				seen++
			}
		}
	}
	if l := v.LastVisit; l != nil {
		text := "Last inspected " + model.DayInWords(l.On)
		if l.By != "" {
			text += " by " + l.By
		}
		sentences = append(sentences, text+".")
	}
	switch never := onGround - seen; {
	case onGround == 0:
	case seen == 0 && onGround == 1:
		sentences = append(sentences, "The work on the ground has not been inspected since it was built.")
	case seen == 0:
		sentences = append(sentences, fmt.Sprintf("None of the %d works on the ground has been inspected since it was built.", onGround))
	case never == 0 && onGround == 1:
		sentences = append(sentences, "The work on the ground has been inspected.")
	case never == 0:
		sentences = append(sentences, fmt.Sprintf("All %d works on the ground have been inspected.", onGround))
	default:
		sentences = append(sentences, fmt.Sprintf("Of %d works on the ground, %d inspected and %d never.", onGround, seen, never))
	}
	return sentences
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

// builtYear is the year in which a work that stands was built.
func builtYear(w landItem) string {
	if w.BuiltOn == "" || w.Status != model.Built {
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
