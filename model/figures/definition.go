package figures

import (
	"slices"

	"headcut/model"
)

// definition is a figure that features may have: what it is called everywhere, and the
// rule it comes from. The name is the stem and the unit as names write it.
type definition struct {
	stem, suffix, label, unit, rule string
	name                            string
}

func define(stem, suffix, label, unit, rule string) definition {
	return definition{stem, suffix, label, unit, rule, stem + suffix}
}

var (
	length       = define("length", "M", "Length", "m", "line: geodesics on the WGS84 ellipsoid (Karney 2013)")
	area         = define("area", "M2", "Area", "m2", "area: inside geodesics on the WGS84 ellipsoid (Karney 2013)")
	perimeter    = define("perimeter", "M", "Perimeter", "m", "area: geodesics on the WGS84 ellipsoid (Karney 2013)")
	fall         = define("fall", "M", "Fall of the bed", "m", "long-section: upper level less lower level")
	meanSlope    = define("meanSlope", "Pct", "Mean slope of the bed", "%", "long-section: fall over horizontal length")
	crestHeight  = define("crestHeight", "M", "Crest above bed", "m", "level-run: level of the crest less that of the toe; else as measured by hand")
	chainage     = define("chainage", "M", "Chainage", "m", "as taped, from the downstream end; else where the levelled toe meets the levelled bed; else the nearest place on the thalweg")
	offset       = define("offset", "M", "Off the thalweg", "m", "line: from the position to the nearest place on the thalweg")
	spacing      = define("spacing", "M", "To the next dam upstream", "m", "as taped from toe to toe; else dam-check: difference of chainages")
	step         = define("step", "M", "Step to the next dam's toe", "m", "dam-check: level of the upper toe less that of this crest (common practice, no source)")
	offContour   = define("offContour", "M", "Worst peg off the contour", "m", "contour-check: off the mean level of the pegs")
	misclosure   = define("misclosure", "M", "Misclosure", "m", "level-run: reduced level less known level")
	allowable    = define("allowable", "M", "Allowable misclosure", "m", "level-run: k times the root of kilometres or set-ups")
	toeLevel     = define("toeLevel", "M", "Toe level", "m", "level-run: level of the lowest place of the toe; else as pegged")
	targetCrest  = define("targetCrestLevel", "M", "Crest to be built to", "m", "level of the pegged toe and the height to be built")
	brinkDepth   = define("brinkDepth", "M", "Depth below the brink", "m", "level-run: level of the lower brink less the lowest across the gully")
	brinkWidth   = define("brinkWidth", "M", "Width at the brink", "m", "across the gully at the level of its lower brink, straight between the levels")
	brinkArea    = define("brinkArea", "M2", "Area below the brink", "m2", "between the ground and the level of the lower brink, straight between the levels")
	damFigures   = []definition{crestHeight, toeLevel, targetCrest, chainage, offset, spacing, step}
	contourKinds = []string{"rip-line", "windrow", "whoa-boy"}
)

func (d definition) column() Column {
	return Column{Name: d.name, PlusMinusName: d.stem + "PlusMinus" + d.suffix, BasisName: d.stem + "Basis", Label: d.label, Unit: d.unit}
}

// figure is the value with all that belongs to it.
func (d definition) figure(value, plusMinus float64, basis model.Basis) model.Figure {
	return model.Figure{Name: d.name, Label: d.label, Value: value, Unit: d.unit, PlusMinus: model.Known(plusMinus), Basis: basis, Rule: d.rule}
}

// InMillimetres tells whether people say the figure of this name in millimetres, with a tenth.
func InMillimetres(name string) bool { return name == misclosure.name || name == allowable.name }

// Column is a figure that features of a kind may have, with the names of the three values
// that an export writes for it.
type Column struct {
	Name          string `json:"name"` // Figure.Name: "lengthM"
	PlusMinusName string `json:"plusMinusName"`
	BasisName     string `json:"basisName"`
	Label         string `json:"label"`
	Unit          string `json:"unit"` // UCUM code
}

// figuresOf is definitionsOf for the kinds that are known.
var figuresOf = func() map[string][]definition {
	of := map[string][]definition{}
	for _, k := range model.Kinds {
		of[k.Name] = definitionsOf(k.Name)
	}
	return of
}()

// Columns lists the figures that features of this kind may have, always in this order.
// Kinds nobody knows have those of lines and areas.
func Columns(kind string) []Column {
	return model.Each(definitionsOf(kind), definition.column)
}

func definitionsOf(kind string) []definition {
	shapes := []model.Shape{model.LineShape, model.AreaShape}
	if k, ok := model.KindNamed(kind); ok {
		shapes = k.Shapes
	}
	var all []definition
	if slices.Contains(shapes, model.LineShape) || slices.Contains(shapes, model.AreaShape) {
		all = append(all, length) // of an area whose boundary was left open, too
	}
	if slices.Contains(shapes, model.AreaShape) {
		all = append(all, area, perimeter)
	}
	switch {
	case kind == "thalweg":
		all = append(all, fall, meanSlope)
	case kind == "check-dam":
		all = append(all, damFigures...)
	case kind == "cross-section":
		all = append(all, brinkDepth, brinkWidth, brinkArea)
	case kind == "level-run":
		all = append(all, misclosure, allowable)
	case slices.Contains(contourKinds, kind):
		all = append(all, offContour)
	}
	return all
}
