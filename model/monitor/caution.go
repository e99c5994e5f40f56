package monitor

import "headcut/model"

// GullyCautions go with every visit to a gully that measures it.
var GullyCautions = []model.Caution{
	{Text: "Stay off undercut walls and cracked ground, read heads from the side, and do not measure in a gully while it runs or rain stands above it."},
}

// VolumeCautions go with every volume.
var VolumeCautions = []model.Caution{
	GullyCautions[0],
	{About: "volumeM3", Text: "A volume from sections knows nothing of the bends and hollows between them; take more sections where the gully turns or changes."},
}

// Cautions are those of this volume.
func (v VolumeSurvey) Cautions(out Volume) []model.Caution {
	all := append(model.Cautions(nil), VolumeCautions...)
	all.AddIf(out.ReadsHighM3 > 0, "volumeM3", "Averaging end areas reads high where a gully narrows and shallows together: here by up to %.3g m3.", out.ReadsHighM3)
	all.AddIf(v.MethodErrorPct < 0, "plusMinusM3", "The ± is that of the readings alone: name the way of surveying to add its own published error, which is often the larger.")
	return all
}

// FastestMPerYear is the fastest mean retreat among the papers read: 23 m a year
// (Addisie et al. 2018, Water 10(4):389, abstract; looked up).
const FastestMPerYear = 23

// Cautions are those of this record.
func (r HeadRecord) Cautions(out Retreat) []model.Caution {
	all := append(model.Cautions(nil), GullyCautions...)
	byPosition := r.Visits[0].Position != nil
	all.AddIf(byPosition && r.BearingDeg == nil && r.Thalweg == nil, "retreatM", "Nobody said which way is up the gully: the distance between two fixes is never negative, so that noise looks like retreat. Give a bearing or the thalweg.")
	all.AddIf(byPosition, "retreatM", "Heads mostly retreat less in a year than a fix errs: tape from a stake, and use the fix to find the stake.")
	all.AddIf(out.Overall.RetreatM < 0 && out.Overall.MoreThanNoise == Yes, "retreatM", "The head seems to have moved down the gully, which heads do not: check the stake, which side of the head it is on, and that the same lip was measured.")
	for _, s := range out.Steps {
		if s.RateMPerYear > FastestMPerYear && s.Years > 0.5 {
			all.Add("steps", "From %v to %v the head went faster than the %d m a year that are the most published: check the units and the stake.", s.From, s.To, FastestMPerYear)
			break
		}
	}
	all.AddIf(out.Overall.Years < 1, "rateMPerYear", "Less than a year lies between the visits. Heads move in the wet, so the rate for a year depends on how much of that time was wet.")
	if s := out.Overall.Seasons; s != nil && *s < LeastSeason {
		all.Add("retreatMPerSeason", "Only %.0f %% of a wet season lies between the visits: no retreat for each season is given. Visit again after the next wet.", 100**s)
	}
	return all
}

// TrapCautions go with every measurement of silt behind dams.
var TrapCautions = []model.Caution{
	{Text: "Fresh silt may not bear a person: probe from the bank or a board."},
	{About: "siltHeightM", Text: "A dam that has filled has done its job; look at whether grass has started on the silt before thinking of another dam on top."},
}

// Cautions is what to ask of a dam, by its name, whose silt stands above its crest; none otherwise.
func (s SiltTrap) Cautions(name string) []model.Caution {
	var all model.Cautions
	highest := 0.0
	if s.SiltHeightM != nil {
		highest = *s.SiltHeightM
	}
	for _, p := range s.Probes {
		highest = max(highest, p.DepthM)
	}
	all.AddIf(highest > s.CrestHeightM, "siltHeightM", "%s: %.2f m of silt behind a crest of %.2f m. Silt is seldom above the crest that stops it: check that both were measured over the old bed at the dam, and in metres.", name, highest, s.CrestHeightM)
	return all
}

// CoverCautions go with every assessment of cover.
var CoverCautions = []model.Caution{
	{About: "coverPct", Text: "Cover alone overstates repair: water soaks in and soil heals far more slowly than grass comes back."},
}

// CoverAt is when a cover was looked at.
type CoverAt struct {
	Day *Day    // nil: nobody said
	Dry *Season // the dry season where the land lies; nil: nobody said
}

// Cautions are the general ones and one about the day, unless it lies at the end of the dry.
func (c CoverAt) Cautions() []model.Caution {
	all := append(model.Cautions(nil), CoverCautions...)
	switch {
	case c.Day == nil:
		all.Add("date", "The targets are for the end of the dry season; nobody said when this was looked at.")
	case c.Dry == nil:
		all.Add("date", "The targets are for the end of the dry season; give the months of the dry to have the date checked.")
	case !c.Dry.AtItsEnd(*c.Day):
		all.Add("date", "This was not looked at in the last two months of the dry season: cover then is mostly less, so that a target met now may be missed when it counts.")
	}
	return all
}
