package track

import (
	"math"

	"headcut/model"
)

// footM is the international foot.
const footM = 0.3048

// Tables are the published ones, which differ threefold: at 10 % on erodible soil they
// allow from 15 to 46 m. None is the right one; the officer names the one that is used.
// The tables of Queensland and of the other Australian states are not among them, since
// their text could not be read: they are typed in as a local table. Each is named by what
// its spacings are for; who printed it is its source.
var Tables = []Table{
	{Name: "water-bars-two-soils", Columns: []string{"general", "highly erodible"},
		Rows:   []Row{at("2", 2, 75, 45), at("5", 5, 40, 25), at("10", 10, 25, 15), at("15", 15, 18, 11), at("20", 20, 14, 9), at("25", 25, 12, 7), at("30", 30, 10, 6)},
		Source: model.Source{Title: "Packer 1967, in Roads for Water, Use basic road-surface drainage", Place: "table 9.1", How: model.LookedUp}},
	{Name: "dips-and-culverts", Columns: []string{"low to non-erosive", "erosive"},
		Rows:   []Row{class("0-3", 0, 3, 120, 75), class("4-6", 4, 6, 90, 50), class("7-9", 7, 9, 75, 40), class("10-12", 10, 12, 60, 35), over("over 12", 12, 50, 30)},
		Source: model.Source{Title: "Keller and Sherar 2003, Low-Volume Roads Engineering BMP Field Guide", Place: "table 7.1, rolling dips and culvert cross-drains", How: model.LookedUp}},
	{Name: "water-bars-by-class", Columns: []string{"low to non-erosive", "erosive"},
		Rows:   []Row{class("0-5", 0, 5, 75, 40), class("6-10", 6, 10, 60, 30), class("11-15", 11, 15, 45, 20), class("16-20", 16, 20, 35, 15), class("21-30", 21, 30, 30, 12), over("over 30", 30, 15, 10)},
		Source: model.Source{Title: "Keller and Sherar 2003, Low-Volume Roads Engineering BMP Field Guide", Place: "table 7.2, water bars", How: model.LookedUp}},
	{Name: "legal-maximum-by-hazard", Columns: []string{"extreme", "high", "moderate", "low"},
		Rows: []Row{class("0-10", 0, 10, 100*footM, 150*footM, 200*footM, 300*footM), class("11-25", 11, 25, 75*footM, 100*footM, 150*footM, 200*footM),
			class("26-50", 26, 50, 50*footM, 75*footM, 100*footM, 150*footM), over("over 50", 50, 50*footM, 50*footM, 75*footM, 100*footM)},
		Source: model.Source{Title: "California Code of Regulations, Title 14, section 934.6(e)", Place: "maximum distances in feet; its 22.35 m for 75 ft is a misprint of 22.86 m", How: model.LookedUp}},
	{Name: "water-bars-one-soil", Columns: []string{""},
		Rows:   []Row{at("2", 2, 250*footM), at("5", 5, 135*footM), at("10", 10, 80*footM), at("15", 15, 60*footM), at("20", 20, 45*footM), at("25", 25, 40*footM), at("30", 30, 35*footM), at("40", 40, 30*footM)},
		Source: model.Source{Title: "Southern Regional Extension Forestry handbook", Place: "distances between water bars, in feet; Packer's general column in other units", How: model.LookedUp}},
	{Name: "broad-based-dips", Columns: []string{"near end of range", "far end of range"},
		Rows:   []Row{class("2-4", 2, 4, 200*footM, 300*footM), class("5-7", 5, 7, 160*footM, 180*footM), class("8-10", 8, 10, 140*footM, 150*footM)},
		Source: model.Source{Title: "Orange County (North Carolina) forestry practices", Place: "page 167, broad-based dips, in feet; not for 12 % and over", How: model.LookedUp}},
}

// Named finds a published table.
func Named(name string) (Table, bool) {
	return model.Find(Tables, func(t Table) bool { return t.Name == name })
}

func at(printed string, gradePct float64, spacingsM ...float64) Row {
	return Row{printed, gradePct, gradePct, spacingsM}
}

func class(printed string, fromPct, toPct float64, spacingsM ...float64) Row {
	return Row{printed, fromPct, toPct, spacingsM}
}

func over(printed string, pct float64, spacingsM ...float64) Row {
	return Row{printed, pct, math.Inf(1), spacingsM}
}
