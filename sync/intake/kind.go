package intake

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
)

// unsorted is the kind of a record whose file names none: the officer sorts it later.
const unsorted = "unsorted"

// kindOf is the kind whose name, label or plural the word is, however it is spaced and
// capitalised; "" when there is none.
func kindOf(word string) string {
	if word = plainWord(word); word == "" {
		return ""
	}
	for _, k := range model.Kinds {
		if word == plainWord(k.Name) || word == plainWord(k.Label) || word == plainWord(k.Plural) {
			return k.Name
		}
	}
	return ""
}

// plainWord is s in small letters and without what people put between words.
func plainWord(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" \t\r\n-_.()", r) {
			return -1
		}
		return r
	}, strings.ToLower(s))
}

// misfit says why geometry cannot be the place of a kind, "" when it can. Any kind may
// be without a place for now.
func misfit(kind string, geometry orb.Geometry) string {
	k, ok := model.KindNamed(kind)
	if !ok || geometry == nil {
		return ""
	}
	for _, shape := range shapesOf(geometry) {
		if !slices.Contains(k.Shapes, shape) {
			return fmt.Sprintf("is %s, which the place of a %s cannot be", articles[shape], strings.ToLower(k.Label))
		}
	}
	return ""
}

var articles = map[model.Shape]string{
	model.PointShape: "a point", model.LineShape: "a line", model.AreaShape: "an area",
}

func shapesOf(geometry orb.Geometry) []model.Shape {
	switch g := geometry.(type) {
	case orb.Point, orb.MultiPoint:
		return []model.Shape{model.PointShape}
	case orb.LineString, orb.MultiLineString:
		return []model.Shape{model.LineShape}
	case orb.Polygon, orb.MultiPolygon:
		return []model.Shape{model.AreaShape}
	case orb.Collection:
		var all []model.Shape
		for _, part := range g {
			all = append(all, shapesOf(part)...)
		}
		return all
	}
	return nil
}
