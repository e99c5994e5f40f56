package works

import (
	"cmp"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/section"
)

// touchM is how near below a crest line a station of the bed counts as reaching it. It is
// far below what a staff reads and far above the rounding of sums, so that a bed that just
// touches the line is not missed.
const touchM = 1e-7

// ground is what a layout must mind of the place, each list from the lowest up.
type ground struct {
	sites     []levelledSite // those on which a dam may stand
	barred    []NoDams       // merged: no two of them touch
	guards    []guard
	unguarded []UnguardedHead
}

type levelledSite struct {
	GoodSite
	levelM float64
}

// guard is the window below a gully head in which a dam must stand, and where in it one is
// put unless the walk comes to stand in the window by itself.
type guard struct {
	fromM, toM float64
	atM        float64
	site       *GoodSite // at atM; nil: none
}

// UnguardedHead is a gully head below which no dam could be put, and why.
type UnguardedHead struct {
	ChainageM float64 `json:"chainageM" unit:"m" doc:"of the foot of its wall"`
	DepthM    float64 `json:"depthM" unit:"m" doc:"from its lip down to the foot"`
	Why       string  `json:"why" doc:"why no dam stands below it"`
}

// ground settles the lists between two chainages; what they hold has been checked.
func (l DamLayout) ground(fromM, toM float64) ground {
	g := ground{barred: l.barred()}
	end := fromM
	if l.FromM == nil {
		fromM = min(g.above(fromM), toM)
	}
	for _, s := range l.Sites {
		level, _ := l.Bed.LevelAt(s.ChainageM)
		if _, no := g.bars(s.ChainageM); !no && s.ChainageM >= fromM && s.ChainageM <= toM {
			g.sites = append(g.sites, levelledSite{s, level})
		}
	}
	model.SortStable(g.sites, func(a, b levelledSite) int {
		return cmp.Or(cmp.Compare(a.ChainageM, b.ChainageM), cmp.Compare(a.Quality, b.Quality), cmp.Compare(a.WidthM, b.WidthM))
	})
	for _, h := range l.Heads {
		if h.ChainageM > end { // else it is no head of this reach
			g.guard(l.window(h), h, fromM, toM)
		}
	}
	model.SortStable(g.guards, func(a, b guard) int { return cmp.Or(cmp.Compare(a.toM, b.toM), cmp.Compare(a.fromM, b.fromM)) })
	model.SortStable(g.unguarded, func(a, b UnguardedHead) int {
		return cmp.Or(cmp.Compare(a.ChainageM, b.ChainageM), cmp.Compare(a.DepthM, b.DepthM))
	})
	return g
}

// window is where the dam below a head belongs.
func (l DamLayout) window(h HeadAt) guard {
	return guard{fromM: h.ChainageM - orDefault(l.HeadFarDepths, HeadFarDepths)*h.DepthM, toM: h.ChainageM - orDefault(l.HeadNearDepths, HeadNearDepths)*h.DepthM}
}

// guard finds the dam's place in the window: the highest good site, else the highest place
// where a dam may stand.
func (g *ground) guard(w guard, h HeadAt, fromM, toM float64) {
	if w.fromM > toM {
		return // the layout ends below it
	}
	lo, hi := max(w.fromM, fromM), min(w.toM, toM)
	no := func(why string) { g.unguarded = append(g.unguarded, UnguardedHead{h.ChainageM, h.DepthM, why}) }
	if hi < lo {
		no("there is too little bed below it: a dam would stand in its plunge")
		return
	}
	w.atM = hi
	if r, barred := g.bars(hi); barred {
		w.atM = r.FromM
		if r.FromM < lo {
			no("no dams are wanted there: " + r.Why)
			return
		}
	}
	for i := len(g.sites) - 1; i >= 0; i-- {
		if s := &g.sites[i]; s.ChainageM >= lo && s.ChainageM <= hi {
			w.atM, w.site = s.ChainageM, &s.GoodSite
			break
		}
	}
	g.guards = append(g.guards, w)
}

// barred merges the given reaches, those too steep, and the plunges of heads.
func (l DamLayout) barred() []NoDams {
	all := slices.Clone(l.NoDams)
	if l.MaxBedSlopePct > 0 {
		all = append(all, l.steep()...)
	}
	for _, h := range l.Heads {
		all = append(all, NoDams{FromM: max(l.window(h).toM, l.Bed[0].ChainageM), ToM: l.lip(h) + HeadSetBackDepths*h.DepthM, Why: "head"})
	}
	model.SortStable(all, func(a, b NoDams) int {
		return cmp.Or(cmp.Compare(a.FromM, b.FromM), cmp.Compare(a.ToM, b.ToM), cmp.Compare(a.Why, b.Why))
	})
	merged := all[:0]
	for _, r := range all {
		if n := len(merged); n > 0 && r.FromM <= merged[n-1].ToM+touchM {
			last := &merged[n-1]
			last.ToM = max(last.ToM, r.ToM)
			last.Why = andWhy(last.Why, r.Why)
			continue
		}
		merged = append(merged, r)
	}
	return merged
}

// steep lists the reaches above the slope limit, neighbours joined.
func (l DamLayout) steep() (all []NoDams) {
	for i := 1; i < len(l.Bed); i++ {
		a, b := l.Bed[i-1], l.Bed[i]
		if b.LevelM-a.LevelM <= l.MaxBedSlopePct/100*(b.ChainageM-a.ChainageM)+touchM {
			continue
		}
		if n := len(all); n > 0 && all[n-1].ToM == a.ChainageM {
			all[n-1].ToM = b.ChainageM
		} else {
			all = append(all, NoDams{a.ChainageM, b.ChainageM, "steep"})
		}
	}
	return all
}

// lip is the chainage at which the bed has climbed a head's wall: nine tenths of its depth,
// within as far again as it is deep twice over. Where the survey shows no such wall, it is
// the foot.
func (l DamLayout) lip(h HeadAt) float64 {
	foot, ok := l.Bed.LevelAt(h.ChainageM)
	if !ok {
		return h.ChainageM
	}
	i, _ := slices.BinarySearchFunc(l.Bed, h.ChainageM, func(s section.Station, x float64) int { return cmp.Compare(s.ChainageM, x) })
	for ; i < len(l.Bed) && l.Bed[i].ChainageM <= h.ChainageM+2*h.DepthM; i++ {
		if l.Bed[i].LevelM >= foot+0.9*h.DepthM {
			return l.Bed[i].ChainageM
		}
	}
	return h.ChainageM
}

// bars finds the reach without dams that a chainage lies inside of.
func (g *ground) bars(chainageM float64) (NoDams, bool) {
	i, _ := slices.BinarySearchFunc(g.barred, chainageM, func(r NoDams, x float64) int {
		if r.ToM <= x {
			return -1
		}
		return 1
	})
	if i < len(g.barred) && chainageM > g.barred[i].FromM {
		return g.barred[i], true
	}
	return NoDams{}, false
}

// above is the chainage itself, or the upper end of the reach without dams that it lies in
// or that begins there.
func (g *ground) above(chainageM float64) float64 {
	r, ok := model.Find(g.barred, func(r NoDams) bool { return chainageM >= r.FromM && chainageM < r.ToM })
	if ok {
		return r.ToM
	}
	return chainageM
}

// andWhy joins the reasons of reaches that overlap, each once.
func andWhy(a, b string) string {
	if slices.Contains(strings.Split(a, ", "), b) {
		return a
	}
	return a + ", " + b
}

func orDefault(given *float64, otherwise float64) float64 {
	if given == nil {
		return otherwise
	}
	return *given
}
