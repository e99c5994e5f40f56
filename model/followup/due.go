package followup

import (
	"cmp"
	"fmt"
	"slices"

	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

// Why is why somebody should look.
type Why string

// The reasons, the most urgent first.
const (
	Harm       Why = "found to need work"
	AfterStorm Why = "after a storm"
	Never      Why = "never visited"
	AfterWet   Why = "after the wet"
	BeforeDry  Why = "before the dry"
	DrysEnd    Why = "end of the dry"
)

// Reasons lists every reason, the most urgent first.
var Reasons = []Why{Harm, AfterStorm, Never, AfterWet, BeforeDry, DrysEnd}

// Due is a feature that somebody should look at. That works and heads are looked at after each wet and after
// a storm, and that cover counts at the end of the dry, is common practice, no source.
type Due struct {
	recorded.Named
	Since   string   `json:"since,omitempty"` // the last look, else the day it was built or recorded; "": not known
	Reasons []Reason `json:"reasons"`
}

// Reason is one of the reasons to look.
type Reason struct {
	Why  Why      `json:"why"`
	Text string   `json:"text"`
	From []string `json:"from"` // the features it follows from
}

func (d *Due) add(why Why, from []string, text string, args ...any) {
	d.Reasons = append(d.Reasons, Reason{why, fmt.Sprintf(text, args...), from})
}

// due lists what to look at: the most urgent first, of those the longest unseen.
func (p *property) due(r Request, works []standing, s settings) []Due {
	all := []Due{}
	add := func(d Due) {
		if len(d.Reasons) > 0 {
			model.SortStable(d.Reasons, func(a, b Reason) int {
				return cmp.Compare(slices.Index(Reasons, a.Why), slices.Index(Reasons, b.Why))
			})
			all = append(all, d)
		}
	}
	for _, w := range works {
		d := p.dueFor(w, r, s)
		d.found(w)
		p.coverDue(&d, w.Item, s.wet)
		add(d)
	}
	for _, item := range p.order {
		if r.Kind != "" && item.Kind != r.Kind || recorded.KindOf(item.Kind).Work {
			continue
		}
		seen := standing{Item: item, looks: p.looks[item.ID]}
		d := Due{Named: item.Named()}
		if item.Kind == "gully-head" {
			recorded, err := monitor.ParseDay(item.Text("observedOn"))
			seen.built, seen.isDated = recorded, err == nil && recorded <= p.today
			d = p.dueFor(seen, r, s)
		}
		d.found(seen)
		p.coverDue(&d, item, s.wet)
		add(d)
	}
	model.SortStable(all, func(a, b Due) int {
		urgent := func(d Due) int { return slices.Index(Reasons, d.Reasons[0].Why) }
		return cmp.Or(cmp.Compare(urgent(a), urgent(b)), cmp.Compare(a.Since, b.Since))
	})
	return all
}

// dueFor is what the seasons and storms ask of a work or a head.
func (p *property) dueFor(w standing, r Request, s settings) Due {
	d := Due{Named: w.Named()}
	since, known := w.built, w.isDated
	from := []string{w.ID}
	done := "recorded"
	if w.Text("builtOn") != "" {
		done = "built"
	}
	seen := ""
	if n := len(w.looks); n > 0 {
		since, known, from = w.looks[n-1].day, true, []string{w.looks[n-1].ID}
		seen = "last visit " + model.DayInWords(since.String())
	}
	if failed, err := monitor.ParseDay(w.Text("failedOn")); w.Status() == model.Failed && err == nil && failed <= p.today && failed >= since {
		since, known, from, seen = failed, true, []string{w.ID}, "found failed on "+model.DayInWords(failed.String())
	}
	if known {
		d.Since = since.String()
	}
	switch wetEnded := s.wet.LastEnded(p.today); {
	case known && since >= wetEnded:
	case seen != "":
		d.add(AfterWet, from, "not visited since the wet; %s", seen)
	case p.undated[w.ID]:
		d.add(AfterWet, from, "last visit on a day not known")
	case known:
		d.add(Never, from, "%s %s, not visited yet", done, model.DayInWords(since.String()))
	default:
		d.add(Never, from, "never visited")
	}
	if at, ok := s.newestStorm(r.Storms); ok && (!known || since <= at.On) && (!w.isDated || w.built <= at.On) {
		d.add(AfterStorm, from, "%s of rain on %s, and no visit after that day", millimetres(at.RainMm), model.DayInWords(at.On.String()))
	}
	return d
}

// newestStorm is the newest that reaches the property's threshold; each does where none is set.
func (s settings) newestStorm(all []Storm) (newest Storm, ok bool) {
	for _, one := range all {
		if one.RainMm >= s.thresholdMm && (!ok || one.On > newest.On) {
			newest, ok = one, true
		}
	}
	return newest, ok
}

// found adds what the newest judgement found amiss.
func (d *Due) found(w standing) {
	last, ok := newestCondition(w.looks)
	switch {
	case ok && (last.Condition == model.NeedsWork || last.Condition == model.HasFailed):
		words := map[model.Condition]string{model.NeedsWork: "needs work", model.HasFailed: "has failed"}[last.Condition]
		after := "not looked at since"
		if newest := w.looks[len(w.looks)-1]; newest.ID != last.ID {
			after = "its condition was not judged again"
		}
		d.add(Harm, []string{last.ID}, "the visit on %s found that it %s; %s", model.DayInWords(last.On), words, after)
	case w.Status() == model.Failed && (!ok || last.On < w.Text("failedOn")):
		on := ""
		if day := w.Text("failedOn"); day != "" {
			on = " on " + model.DayInWords(day)
		}
		d.add(Harm, []string{w.ID}, "recorded as found failed%s", on)
	}
}

// coverDue asks for the ground cover at the end of the wet, when the feed of the dry is known, and at the end of the
// dry, for which its targets are.
func (p *property) coverDue(d *Due, item *recorded.Item, wet Wet) {
	if _, has := recorded.KindOf(item.Kind).FieldNamed("coverPct"); !has || item.Kind == "visit" {
		return
	}
	counted := monitor.Day(0)
	for _, l := range p.looks[item.ID] {
		if _, ok := l.measured("coverPct"); ok {
			counted = l.day
		}
	}
	ask := func(season monitor.Season, why Why, what string) {
		if began, in := season.EndBegan(p.today); in && counted < began {
			d.add(why, []string{item.ID}, "its ground cover was not counted yet in these last two months of the %s", what)
		}
	}
	ask(wet.Season, BeforeDry, "wet")
	ask(wet.dry(), DrysEnd, "dry")
}
