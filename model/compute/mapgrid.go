package compute

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/calendar"
	"headcut/model/mapgrid"
)

type coordinateIn struct {
	Zone       int     `json:"zone" doc:"1 to 60"`
	Hemisphere string  `json:"hemisphere" choices:"north|south" doc:"which side of the equator; south in Australia"`
	EastingM   float64 `json:"eastingM" unit:"m" doc:"with the 500000 of the zone's middle in it"`
	NorthingM  float64 `json:"northingM" unit:"m" doc:"from the equator, southern ones with 10000000 added"`
}

type mapGridIn struct {
	Grid        string         `json:"grid" choices:"UTM|MGA2020|MGA94" doc:"UTM, on WGS84; or the Map Grid of Australia, on GDA2020 or the older GDA94"`
	Positions   [][2]float64   `json:"positions,omitempty" unit:"deg" doc:"longitude and latitude of each position, WGS84, to be put on the grid"`
	Coordinates []coordinateIn `json:"coordinates,omitempty" doc:"coordinates read from the grid, to be turned into positions; give these or positions"`
	Zone        *int           `json:"zone,omitempty" doc:"the zone for all of the positions; each one's own if not given"`
	SeenOn      string         `json:"seenOn,omitempty" doc:"when the positions were fixed, as 2026-11-25: Australia moves 7 cm a year and its datums do not"`
	AccuracyM   *float64       `json:"accuracyM,omitempty" unit:"m" doc:"one standard deviation of a position along any direction"`
	Basis       string         `json:"basis,omitempty" choices:"levelled|taped|GPS|drawn on the map|estimated|from plan|not recorded|unproven" doc:"how the positions came about; GPS if not given"`
}

type gridPointOut struct {
	Longitude      float64  `json:"longitude" unit:"deg" decimals:"9" doc:"WGS84"`
	Latitude       float64  `json:"latitude" unit:"deg" decimals:"9" doc:"WGS84"`
	Zone           int      `json:"zone" doc:"1 to 60"`
	Hemisphere     string   `json:"hemisphere" doc:"north or south"`
	EastingM       float64  `json:"eastingM" unit:"m" doc:"on the grid's own datum"`
	NorthingM      float64  `json:"northingM" unit:"m" doc:"on the grid's own datum"`
	PlusMinusM     *float64 `json:"plusMinusM,omitempty" unit:"m" doc:"one standard deviation of easting and of northing, along the grid; none without an accuracy"`
	ConvergenceDeg float64  `json:"convergenceDeg" unit:"deg" decimals:"6" doc:"bearing of grid north from true north, east of it positive"`
	Scale          float64  `json:"scale" decimals:"8" doc:"length on the grid over length on the ellipsoid"`
	ShiftEastM     float64  `json:"shiftEastM" unit:"m" doc:"datum shift that is in the easting: how far east of its WGS84 place the grid's datum puts it"`
	ShiftNorthM    float64  `json:"shiftNorthM" unit:"m" doc:"datum shift that is in the northing"`
}

type mapGridOut struct {
	Datum    string          `json:"datum" doc:"what eastings and northings stand on"`
	Points   []gridPointOut  `json:"points" doc:"in the order they were given"`
	Basis    string          `json:"basis" doc:"what the positions come from"`
	Cautions []model.Caution `json:"cautions" doc:"what to watch for when using them"`
}

var mapGridDoc = Doc{
	Name:    "map-grid",
	Growth:  Linear,
	Summary: "eastings and northings of positions, or the positions of map coordinates, with the datum shift given",
	Limits: []string{
		"UTM from 80 degrees south to 84 north; the Map Grid of Australia only in Australia, where its datum shift is valid.",
		"A zone may be asked for up to 9 degrees from its middle.",
		"The shift between GDA94 and GDA2020 is the one for the whole country; the grids of local distortions are not in it and differ by decimetres in places.",
		"Heights are not shifted and take no part.",
	},
	Cautions: []string{gridLengths},
	Sources: []model.Source{
		{Title: "C. F. F. Karney, Transverse Mercator with an accuracy of a few nanometers, Journal of Geodesy 85:475-485, 2011", Place: "equations 12, 14, 35 and 36", How: model.FromMemory},
		{Title: "NGA.SIG.0012, The universal grids and the transverse Mercator and polar stereographic map projections, 2014", Place: "section 7", How: model.FromMemory},
		{Title: "EPSG dataset", Place: "transformations 8048, GDA94 to GDA2020, and 8049, ITRF2014 to GDA2020", How: model.LookedUp},
	},
}

var mapGrid = define(mapGridDoc, func(in mapGridIn, _ *model.Work) (mapGridOut, error) {
	if err := in.check(); err != nil {
		return mapGridOut{}, err
	}
	accuracyM, err := accuracy(in.AccuracyM)
	if err != nil {
		return mapGridOut{}, err
	}
	sight, err := sightOn(in.SeenOn)
	if err != nil {
		return mapGridOut{}, err
	}
	grid := mapgrid.Grid(in.Grid)
	out := mapGridOut{Datum: grid.Datum(), Basis: string(basisOr(in.Basis, model.GPS)), Cautions: []model.Caution{{About: "points", Text: gridLengths}}}
	add := func(p orb.Point, c mapgrid.Coordinate, shift mapgrid.Shift) {
		point := gridPointOut{Longitude: p[0], Latitude: p[1], Zone: c.Zone, Hemisphere: hemisphere(c.South), EastingM: c.EastingM, NorthingM: c.NorthingM,
			ConvergenceDeg: c.ConvergenceDeg, Scale: c.Scale, ShiftEastM: shift.EastM, ShiftNorthM: shift.NorthM}
		if accuracyM > 0 {
			point.PlusMinusM = known(accuracyM * c.Scale)
		}
		out.Points = append(out.Points, point)
	}
	positions, err := positionsFrom(in.Positions, "positions")
	if err != nil {
		return mapGridOut{}, err
	}
	for i, p := range positions {
		c, shift, err := grid.Of(p, orElse(in.Zone, 0), sight)
		if err != nil {
			return mapGridOut{}, problem(err).Within(fmt.Sprintf("positions[%d]", i))
		}
		add(p, c, shift)
	}
	for i, row := range in.Coordinates {
		c := mapgrid.Coordinate{Zone: row.Zone, South: row.Hemisphere == "south", EastingM: row.EastingM, NorthingM: row.NorthingM}
		p, shift, err := grid.Position(c, sight)
		if err != nil {
			return mapGridOut{}, problem(err).Within(fmt.Sprintf("coordinates[%d]", i))
		}
		// Convergence and scale are those of the place; a coordinate just over the equator
		// keeps the hemisphere it was read with.
		if on, _, err := grid.Of(p, c.Zone, sight); err == nil {
			c.ConvergenceDeg, c.Scale = on.ConvergenceDeg, on.Scale
		}
		add(p, c, shift)
	}
	out.Cautions = append(out.Cautions, gridCautions(grid, sight, out.Points)...)
	return out, nil
})

const gridLengths = "Do not measure on the grid: its lengths are not those on the ground, and zones do not join."

func (in mapGridIn) check() error {
	switch {
	case in.Grid == "":
		return &model.Problem{Path: "grid", Reason: "is missing", Fix: "give UTM, MGA2020 or MGA94"}
	case len(in.Positions) == 0 && len(in.Coordinates) == 0:
		return &model.Problem{Path: "positions", Reason: "there is nothing to convert", Fix: "give positions, or coordinates"}
	case len(in.Positions) > 0 && len(in.Coordinates) > 0:
		return &model.Problem{Path: "coordinates", Reason: "positions are given too", Fix: "convert one kind at a time"}
	case in.Zone != nil && len(in.Coordinates) > 0:
		return &model.Problem{Path: "zone", Reason: "is for positions; each coordinate has its own"}
	case in.Zone != nil && (*in.Zone < 1 || *in.Zone > 60):
		return &model.Problem{Path: "zone", Reason: fmt.Sprintf("%d is not a zone from 1 to 60", *in.Zone)}
	}
	return nil
}

// sightOn reads the optional date of the fixes. There were none before the first
// satellites, and a date far ahead is a typing error.
func sightOn(date string) (mapgrid.Sight, error) {
	if date == "" {
		return mapgrid.Sight{}, nil
	}
	number, ok := calendar.Parse(date)
	year, _, _ := calendar.Date(number)
	if !ok || year < 1985 || year > 2100 {
		return mapgrid.Sight{}, &model.Problem{Path: "seenOn", Reason: fmt.Sprintf("%q is not a date from 1985 to 2100", shorten(date)), Fix: "write it as 2026-11-25"}
	}
	start, end := calendar.Number(year, 1, 1), calendar.Number(year+1, 1, 1)
	return mapgrid.Sight{Year: float64(year) + float64(number-start)/float64(end-start)}, nil
}

func hemisphere(south bool) string {
	if south {
		return "south"
	}
	return "north"
}

// gridCautions are those that depend on what was converted.
func gridCautions(grid mapgrid.Grid, sight mapgrid.Sight, points []gridPointOut) []model.Caution {
	var all []model.Caution
	zones := map[int]bool{}
	shiftM := 0.0
	for _, p := range points {
		zones[p.Zone] = true
		shiftM = max(shiftM, math.Hypot(p.ShiftEastM, p.ShiftNorthM))
	}
	if len(zones) > 1 {
		all = append(all, model.Caution{About: "points.zone", Text: fmt.Sprintf("These points lie in %d zones: ask for one zone before drawing them together.", len(zones))})
	}
	switch {
	case grid != mapgrid.UTM && sight.Year == 0:
		all = append(all, model.Caution{About: "seenOn", Text: "No date was given, so the movement of the continent since 2020, 7 cm a year, is not in it."})
	case shiftM > 0.1:
		all = append(all, model.Caution{About: "points.shiftEastM", Text: fmt.Sprintf("On %s these places are written %.1f m from where WGS84 has them: never mix the two in one layer.", grid.Datum(), shiftM)})
	}
	if grid == mapgrid.MGA94 && sight.Year == 0 {
		all = append(all, model.Caution{About: "points.shiftEastM", Text: fmt.Sprintf("The shift to GDA94, %.1f m, is in it: never mix the two in one layer.", shiftM)})
	}
	return all
}
