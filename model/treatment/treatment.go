package treatment

import "strings"

// Treatment is one thing that can be done about an eroding place. One that is a work has the
// name of its kind in the register; a check dam what it is built from besides:
// "check-dam of brushwood".
type Treatment string

const (
	StockControl  Treatment = "exclosure"
	WhoaBoys      Treatment = "whoa-boy"
	Diversion     Treatment = "diversion-bank"
	Revegetation  Treatment = "revegetation"
	Gypsum        Treatment = "gypsum"
	Ripping       Treatment = "rip-line"
	Pitting       Treatment = "pitting"
	PondingBanks  Treatment = "ponding-bank"
	Windrows      Treatment = "windrow"
	Batter        Treatment = "batter"
	RockHead      Treatment = "rock-faced-head"
	BrushFill     Treatment = "brush-fill"
	EarthPlug     Treatment = "earth-plug"
	BrushDams     Treatment = "check-dam of brushwood"
	NettingDams   Treatment = "check-dam of netting and posts"
	LooseRockDams Treatment = "check-dam of loose rock"
	BaleDams      Treatment = "check-dam of hay bales"
	Engineer      Treatment = "engineer"
)

// Work is the name of the work's kind in the register, and what a check dam is built from.
func (t Treatment) Work() (kind, material string) {
	kind, material, _ = strings.Cut(string(t), " of ")
	return kind, material
}

// Step is the trade's order of work: prevention first, then water, grass, earth and last
// structures. Common practice, no source; FAO Conservation Guide 13/2, chapter I, orders
// catchment, diversion, structures likewise (looked up).
type Step int

const (
	Prevention Step = iota + 1
	Water
	Grass
	Earth
	Structures
	Advice
)

var stepNames = [...]string{"", "prevention", "water", "grass", "earth", "structures", "advice"}

// String is the step as a person reads it.
func (s Step) String() string { return stepNames[s] }

// About is what there is to say of a treatment wherever it is offered.
type About struct {
	Treatment Treatment
	Step      Step
	Label     string
	Labour    string
	Material  string
	Caution   string
}

// Treatments lists every treatment in the trade's order; within a step the lighter and
// more local comes first, and bales, which some authorities refuse, last.
var Treatments = []About{
	{StockControl, Prevention, "Keep stock off and rest the grass", "Fencing by the metre, or moving a water or a lick; then walking the fence.", "Fence and gate, or trough and pipe.", "A fence line is a track: lay it where water cannot run along it."},
	{WhoaBoys, Prevention, "Whoa-boys across the track or fence line", "A machine pass for each bank, or shovel work; then keeping the outlets clear.", "Soil from beside the track.", "Sign a new bank: it can throw a rider or a vehicle."},
	{Diversion, Water, "Turn the water away above", "A levelled bank and its outlet, by machine.", "Firm soil, grass seed for bank and outlet.", "Turned water goes somewhere: never onto a neighbour, nor out of a stream, without leave."},
	{Revegetation, Grass, "Seed, fertiliser and grass", "Spreading by hand or machine, and again when a season fails.", "Seed, fertiliser by soil test, mulch.", "Half of the tropical grass sowings of one survey failed: keep money for a second."},
	{Gypsum, Grass, "Gypsum on soil that disperses", "Spreading and working in, and again after some seasons.", "Gypsum by soil test; it is heavy, so the cartage costs most.", "Gypsum dust harms eyes and lungs; test a crumb in gypsum water first, since not every clay answers to it."},
	{Ripping, Grass, "Rip on the contour", "Pegging by level, then tractor and tines.", "None but seed.", "Not when wet, and not in dispersive subsoil."},
	{Pitting, Grass, "Pits on the contour", "Pegging by level, then a pitting machine, or hand work on small ground.", "None but seed.", "Not when wet, and no deeper than the surface soil where the subsoil disperses."},
	{PondingBanks, Grass, "Ponding banks on a flat scald", "Each bank levelled and pegged, then a grader.", "Soil from beside the bank, seed.", "Water stands behind a bank: level its ends, so that it spills where it does no harm. It may need leave to hold back overland flow."},
	{Windrows, Grass, "Timber windrows on the contour", "Pegging by level, then pushing or carrying timber.", "Timber that lies there already.", "Standing trees and old logs may be protected: ask before pushing any."},
	{Batter, Earth, "Batter the edge and grass it", "A machine working from above, topsoil spread, sown the same week.", "Topsoil, seed, fertiliser, mulch.", "Undercut and cracked edges break off under people and machines."},
	{RockHead, Earth, "Lay the head back and face it with rock", "A machine to shape it, rock placed by machine or hand.", "Hard angular rock, a filter under it.", "Nobody stands below a head while it is worked on."},
	{BrushFill, Earth, "Fill with packed brush", "Cutting, packing and tying down by hand.", "Brush from nearby, stakes, wire.", "Brush burns and harbours snakes."},
	{EarthPlug, Earth, "Plug with earth", "A machine placing and rolling earth in layers.", "Earth that does not disperse, grass seed.", "A plug ponds water: deeper than a metre it is a dam, for an engineer."},
	{BrushDams, Structures, "Brushwood check dams", "Much hand labour: posts, brush packed between, keys cut.", "Brush and posts from nearby, wire.", "Keep the middle low and the ends high."},
	{NettingDams, Structures, "Netting and post check dams", "Hand labour: posts driven, netting strained and keyed.", "Posts, netting, wire, litter or rock behind.", "Loose wire catches stock and wildlife."},
	{LooseRockDams, Structures, "Loose rock check dams", "Much labour or a small machine: keys cut, rock placed.", "Angular rock of 150 to 300 mm, cheap where it lies near.", "Lift rock with a machine or in company."},
	{BaleDams, Structures, "Hay bale check dams", "Little: bales let in, butted and staked.", "Bales free of weed seed, two stakes each.", "They rot within a year or two: sow at once."},
	{Engineer, Advice, "Ask a licensed engineer or a soil specialist", "A visit and a survey.", "None yet.", "Keep people and stock away from deep and moving edges meanwhile."},
}

// PorousDams are the check dams that let water through.
var PorousDams = []Treatment{BrushDams, NettingDams, LooseRockDams, BaleDams}

// Size is the size class of a gully by FAO Conservation Guide 13/2 (1986), from memory:
// small under 1 m deep and 2 ha, large over 5 m and 20 ha, medium between.
type Size string

const (
	Small  Size = "small"
	Medium Size = "medium"
	Large  Size = "large"
)

// SizeOf is the class by depth and by catchment. The guide does not say what holds where
// the two disagree, so both are given; nor on a boundary, where the smaller is taken.
func SizeOf(depthM, catchmentHa float64) (byDepth, byCatchment Size) {
	return size(depthM, 1, 5), size(catchmentHa, 2, 20)
}

func size(v, medium, large float64) Size {
	switch {
	case v > large:
		return Large
	case v > medium:
		return Medium
	}
	return Small
}
