package grazing

import (
	"strings"

	"headcut/model"
)

// Ratings is one published table of animals in units, with the intake that goes with them:
// ratings of one table and the intake of another give a wrong demand.
type Ratings struct {
	Name        string
	Unit        string
	IntakeKgDay float64 // dry matter that one unit eats
	Classes     []Class
	Source      model.Source
	Intake      model.Source
}

// Class is one row of ratings.
type Class struct {
	Name         string  `json:"class" doc:"as a mob names it"`
	UnitsPerHead float64 `json:"unitsPerHead" unit:"1" doc:"units of each head"`
}

var (
	northernRatings = model.Source{Title: "MLA, northern forage budgeting, lesson on AE ratings", Place: "annual ratings: the AE is a 450 kg Bos taurus steer that gains nothing and walks 7 km a day", How: model.LookedUp}
	northernIntake  = model.Source{Title: "MLA, northern forage budgeting, lesson on AE ratings", Place: "intake for each AE", How: model.LookedUp}
	vallentine      = model.Source{Title: "Rangelands Gateway, Animal units", Place: "table 1, after Vallentine 1990; many agencies count a cow with calf as 1.0", How: model.LookedUp}
	auIntake        = model.Source{Title: "University of Arizona Extension, What is an AUM?", Place: "26 lb of oven-dry forage a day for a cow of 1,000 lb", How: model.LookedUp}
	sheepRatings    = model.Source{Title: "MLA and AWI, Dry sheep equivalent; Making More From Sheep, tool 12.14, Merino ewes", Place: "the unit is a 50 kg wether at maintenance; others use 45 kg", How: model.LookedUp}
	sheepIntake     = model.Source{Title: "MLA, northern forage budgeting, Why is calculating forage demand important", Place: "0.95 kg for each DSE", How: model.LookedUp}
)

// AllRatings lists the tables. The three northern ones are for land where steers gain less than
// 110 kg a year, 110 to 150 kg, and more. That females of 2 to 3 years are 1.74 on the last is
// as printed, and out of line with their neighbours.
var AllRatings = []Ratings{
	{Name: "ae-low", Unit: "adult equivalent", IntakeKgDay: 8.5, Source: northernRatings, Intake: northernIntake, Classes: []Class{
		{"females <1", 0.57}, {"females 1-2", 0.72}, {"females 2-3", 0.96}, {"females 3-4", 1.18}, {"females 4+", 1.09},
		{"steers <1", 0.6}, {"steers 1-2", 0.78}, {"steers 2-3", 1.02}, {"steers 3-4", 1.15}, {"grown bulls", 1.48}, {"horse", 1.2}, {"kangaroo", 0.07}}},
	{Name: "ae-moderate", Unit: "adult equivalent", IntakeKgDay: 8, Source: northernRatings, Intake: northernIntake, Classes: []Class{
		{"females <1", 0.68}, {"females 1-2", 0.91}, {"females 2-3", 1.12}, {"females 3-4", 1.49}, {"females 4+", 1.29},
		{"steers <1", 0.72}, {"steers 1-2", 1.03}, {"steers 2-3", 1.27}, {"steers 3-4", 1.39}, {"grown bulls", 1.73}, {"horse", 1.2}, {"kangaroo", 0.07}}},
	{Name: "ae-high", Unit: "adult equivalent", IntakeKgDay: 7.5, Source: northernRatings, Intake: northernIntake, Classes: []Class{
		{"females <1", 0.77}, {"females 1-2", 1.1}, {"females 2-3", 1.74}, {"females 3-4", 1.61}, {"females 4+", 1.53},
		{"steers <1", 0.8}, {"steers 1-2", 1.31}, {"steers 2-3", 1.6}, {"steers 3-4", 1.78}, {"grown bulls", 1.78}, {"horse", 1.2}, {"kangaroo", 0.07}}},
	{Name: "au-1990", Unit: "animal unit", IntakeKgDay: 11.8, Source: vallentine, Intake: auIntake, Classes: []Class{
		{"mature bull", 1.5}, {"young bull", 1.15}, {"cow and calf", 1.35}, {"mature cow dry", 1}, {"pregnant heifer", 1},
		{"yearling 18-24", 0.9}, {"yearling 15-18", 0.8}, {"yearling 12-15", 0.7}, {"calf weaning-12", 0.6}, {"calf at weaning", 0.5}}},
	{Name: "dse", Unit: "dry sheep equivalent", IntakeKgDay: 0.95, Source: sheepRatings, Intake: sheepIntake, Classes: []Class{
		{"wether 50 kg", 1}, {"ewe 50 kg dry", 1}, {"ewe 50 kg pregnant single", 1.3}, {"ewe 50 kg lactating single", 2.5}, {"ewe 50 kg lactating twins", 3.4},
		{"ewe 60 kg dry", 1.2}, {"ewe 60 kg pregnant single", 1.4}, {"ewe 60 kg lactating single", 2.9}, {"ewe 60 kg lactating twins", 4.1},
		{"goat", 1}, {"dry cow 500 kg", 8}, {"kangaroo", 0.75}, {"rabbit", 0.1}}},
}

// String reads as "ae-low, adult equivalents that eat 8.5 kg a day: females <1 0.57, ...: ...".
func (r Ratings) String() string {
	classes := model.Each(r.Classes, func(c Class) string { return c.Name + " " + number(c.UnitsPerHead) })
	return r.Name + ", " + r.Unit + "s that eat " + number(r.IntakeKgDay) + " kg a day: " + strings.Join(classes, ", ") + ": " + r.Source.String()
}

// RatingsNamed finds a table.
func RatingsNamed(name string) (Ratings, bool) {
	return model.Find(AllRatings, func(r Ratings) bool { return r.Name == name })
}

// UnitsPerHead is the rating of a class; a *model.Problem at "class" for one that the table has
// not.
func (r Ratings) UnitsPerHead(class string) (float64, *model.Problem) {
	c, ok := model.Find(r.Classes, func(c Class) bool { return c.Name == class })
	names := model.Each(r.Classes, func(c Class) string { return c.Name })
	return c.UnitsPerHead, model.Require(ok, "class", "give one of "+strings.Join(names, ", "), "%q is no class of %s", class, r.Name)
}
