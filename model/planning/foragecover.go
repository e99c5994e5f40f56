package planning

import (
	"headcut/model"
	"headcut/model/calendar"
	"headcut/model/figures"
	"headcut/model/monitor"
	"headcut/model/recorded"
)

// coverDays are how many days apart cover plots may be read and still tell of one state of the paddock.
// Common practice, no source.
const coverDays = 14

// plotCover is the newest cover read on a plot, at the visit that read it if one did.
type plotCover struct {
	item *recorded.Item
	pct  float64
	on   string
}

// groundCover puts in the newest cover of the plots within the paddock, else that of the newest visit to
// it, where a target was set for it.
func (d *drafting) groundCover() {
	target, set := d.item.Number("coverTargetPct")
	set = set || d.has("coverTarget", "coverTargetPct")
	plots, visited := d.plotCovers(), d.newestCover(d.item)
	switch {
	case !set && visited == nil && len(plots) == 0:
		return
	case !set:
		d.miss("the ground cover to keep in %s at the end of the dry is not set: record it on the paddock.", d.item.Called())
		return
	case visited == nil && len(plots) == 0:
		d.miss("the ground cover of %s is not known: read cover plots in it.", d.item.Called())
		return
	}
	if !d.has("coverTarget", "coverTargetPct") {
		d.in.put("coverTargetPct", target)
	}
	if len(plots) == 0 {
		d.in.put("coverPct", visited.pct)
		d.use(visited.item, "ground cover, %.0f %%", visited.pct)
		return
	}
	cover, err := monitor.OfPlots(model.Each(plots, func(p plotCover) float64 { return p.pct }), -1)
	if err != nil { // fractions, or more than a computation takes
		d.refuse("the cover plots of %s: %v", d.item.Called(), err)
		return
	}
	for _, p := range plots {
		d.use(p.item, "ground cover, %.0f %%", p.pct)
	}
	d.in.put("coverPct", cover.CoverPct)
	if cover.PlusMinusPct >= 0 {
		d.in.put("coverPlusMinusPct", cover.PlusMinusPct)
		d.in.put("coverLowPct", cover.LowPct)
		d.in.put("coverHighPct", cover.HighPct)
	}
}

// plotCovers are the newest readings of the plots in the paddock, without those long before the newest.
func (d *drafting) plotCovers() (all []plotCover) {
	newest := ""
	for plot := range d.p.of("cover-plot") {
		if plot.Geometry == nil || !holds(d.item.Geometry, plot.Geometry.Bound().Center()) || d.refuseUnsettled(plot, "geometry", "coverPct") {
			continue
		}
		if read := d.newestCover(plot); read != nil {
			all = append(all, *read)
			newest = max(newest, read.on)
		}
	}
	var near []plotCover
	for _, p := range all {
		read, known := calendar.Parse(p.on)
		if last, _ := calendar.Parse(newest); !known || last-read > coverDays {
			d.leaveOut(p.item, "its cover%s was not read with that of the other plots", ofDay(p.on))
			continue
		}
		near = append(near, p)
	}
	return near
}

func (d *drafting) newestCover(item *recorded.Item) *plotCover {
	visited := d.p.figures.Of(item.Feature).Visited
	if visited == nil {
		return nil
	}
	m, ok := model.Find(visited.Measured, func(m figures.Measured) bool { return m.Name == "coverPct" })
	if !ok {
		return nil
	}
	if visit := d.p.items[m.Visit]; visit != nil {
		item = visit
	}
	return &plotCover{item, m.Value, m.On}
}
