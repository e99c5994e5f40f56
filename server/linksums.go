package server

import (
	"slices"

	"headcut/model"
)

// itemSums is what items add to the sums of a view: one item, the items of a block, or all.
type itemSums struct {
	stages                [6]int32 // by place in stageOrder
	attention             int
	kinds                 map[int]int // of several items: how many are of each, by place in model.Kinds
	firstBuilt, lastBuilt string      // years
	dated                 int         // works that stand and have the day when they were built
	lastEntry             string      // date
	lastVisit             *inspection
	onGround, inspected   int
}

// stageOrder are the stages of works; the last is of those without.
var stageOrder = append(slices.Clone(model.Statuses), "")

// sumsOf is what one item adds. lastEntry is of its newest entry, visits are those to it.
func sumsOf(work bool, item *linkItem, lastEntry string, visits []sharedVisit) itemSums {
	t := itemSums{lastEntry: lastEntry}
	if item.State == attentionState {
		t.attention = 1
	}
	for _, l := range visits {
		t.lastEntry = max(t.lastEntry, l.on, dayOf(l.changed))
		if l.judged && l.on != "" {
			t.lastVisit = laterInspection(t.lastVisit, &inspection{On: l.on, By: l.by, seenAt: l.changed.SeenAt})
		}
	}
	if !work {
		return t
	}
	t.stages[slices.Index(stageOrder, item.Status)] = 1
	if item.Status == model.Built || item.Status == model.Failed {
		t.onGround = 1
		if item.inspected {
			t.inspected = 1
		}
	}
	t.firstBuilt = builtYear(item)
	t.lastBuilt = t.firstBuilt
	if t.firstBuilt != "" {
		t.dated = 1
	}
	return t
}

// laterInspection is the later of two inspections, of which either may be nil.
func laterInspection(a, b *inspection) *inspection {
	if a == nil || b != nil && (b.On > a.On || b.On == a.On && b.seenAt > a.seenAt) {
		return b
	}
	return a
}

func (t *itemSums) add(o *itemSums) {
	for i, n := range o.stages {
		t.stages[i] += n
	}
	t.attention += o.attention
	for kind, n := range o.kinds {
		t.count(kind, n)
	}
	if o.firstBuilt != "" && (t.firstBuilt == "" || o.firstBuilt < t.firstBuilt) {
		t.firstBuilt = o.firstBuilt
	}
	t.lastBuilt, t.lastEntry = max(t.lastBuilt, o.lastBuilt), max(t.lastEntry, o.lastEntry)
	t.lastVisit = laterInspection(t.lastVisit, o.lastVisit)
	t.onGround, t.inspected, t.dated = t.onGround+o.onGround, t.inspected+o.inspected, t.dated+o.dated
}

func (t *itemSums) count(kind, n int) {
	if t.kinds == nil {
		t.kinds = map[int]int{}
	}
	t.kinds[kind] += n
}

func (t *itemSums) stage(s model.Status) int { return int(t.stages[slices.Index(stageOrder, s)]) }

// done is what was done, in numbers. Every number is one that the list and the map key show too.
func (t *itemSums) done() []linkCount {
	done := []linkCount{}
	add := func(n int, text string, state itemState) {
		if n > 0 {
			done = append(done, linkCount{n, text, state})
		}
	}
	add(t.stage(model.Built), plural(t.stage(model.Built), "work")+" built"+t.builtWhen(), "")
	add(t.stage(model.Failed), "failed", failedState)
	add(t.attention, map[bool]string{true: "needs attention", false: "need attention"}[t.attention == 1], attentionState)
	add(t.stage(model.Pegged), "pegged, not built yet", "")
	add(t.stage(model.Proposed), "proposed", "")
	add(t.stage(model.Removed), "removed", "")
	add(t.stage(""), "with no stage recorded", "")
	return done
}

// builtWhen says when the works that stand were built, and of how many that is not known.
func (t *itemSums) builtWhen() string {
	switch undated := t.stage(model.Built) - t.dated; {
	case t.dated == 0:
		return ""
	case undated == 0:
		return " " + years(t.firstBuilt, t.lastBuilt)
	default:
		return ", " + grouped(t.dated) + " of them in " + years(t.firstBuilt, t.lastBuilt) + ", " + grouped(undated) + " without a date"
	}
}

// inspections says when something was last inspected and by whom, and how many of the works
// on the ground were since they were built.
func (t *itemSums) inspections() []string {
	sentences := []string{}
	if l := t.lastVisit; l != nil {
		text := "Last inspected " + model.DayInWords(l.On)
		if l.By != "" {
			text += " by " + l.By
		}
		sentences = append(sentences, text+".")
	}
	switch never := t.onGround - t.inspected; {
	case t.onGround == 0:
	case t.inspected == 0 && t.onGround == 1:
		sentences = append(sentences, "The work on the ground has not been inspected since it was built.")
	case t.inspected == 0:
		sentences = append(sentences, "None of the "+grouped(t.onGround)+" works on the ground has been inspected since it was built.")
	case never == 0 && t.onGround == 1:
		sentences = append(sentences, "The work on the ground has been inspected.")
	case never == 0:
		sentences = append(sentences, "All "+grouped(t.onGround)+" works on the ground have been inspected.")
	default:
		sentences = append(sentences, "Of "+grouped(t.onGround)+" works on the ground, "+grouped(t.inspected)+" inspected and "+grouped(never)+" never.")
	}
	return sentences
}

// grouped is a count as the page writes it.
func grouped(n int) string { return rounded(float64(n), 0) }

// kindRows are the rows of the kinds' table that are in use, in its order.
func (t *itemSums) kindRows() []linkKind {
	rows := []linkKind{}
	for i := range model.Kinds {
		if t.kinds[i] > 0 {
			rows = append(rows, linkKindOf(&model.Kinds[i]))
		}
	}
	return rows
}
