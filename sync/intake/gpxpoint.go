package intake

import (
	"encoding/xml"
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"headcut/model"
)

// gpxPoint is a wpt, rtept or trkpt.
type gpxPoint struct {
	at      orb.Point
	heightM float64 // NaN when unknown
	when    instant
	gpxWords
}

// gpxWords are the texts of a point, route or track, in their order in the file.
type gpxWords struct {
	name  string
	words []gpxWord
	texts []member // in which the word sensitive stands
}

type gpxWord struct{ name, text string }

// pointOrder is the order of a point's elements in the schema's wptType.
var pointOrder = strings.Fields("ele time magvar geoidheight name cmt desc src link sym type fix sat hdop vdop pdop ageofdgpsdata dgpsid extensions")

// point reads a point. Its texts other than the name are read only for a waypoint, where
// they are about the place; along a line they are the receiver's state of health.
func (g *gpxText) point(start xml.StartElement, words bool) (gpxPoint, error) {
	p := gpxPoint{heightM: math.NaN()}
	var err error
	if p.at, err = g.position(start); err != nil {
		return p, err
	}
	seen := make(map[string]bool, 4)
	order := g.ordered(pointOrder...)
	err = g.children(func(child xml.StartElement) error {
		order(child)
		name := g.own(child)
		switch name {
		case "ele", "time", "name":
			line := g.line()
			text, _, err := g.text()
			switch {
			case err != nil:
				return err
			case seen[name]:
				g.out.report(line, name, "is there twice: the first is kept", "")
				return nil
			}
			seen[name] = true
			switch name {
			case "ele":
				p.heightM = g.height(line, text)
			case "time":
				p.when = g.time(line, text)
			case "name":
				p.name = cleanText(text)
			}
			return nil
		}
		if words {
			return g.word(child, &p.gpxWords)
		}
		g.out.reportOnce(g.line(), child.Name.Local, "is not kept for the points of a line", "")
		return g.skip()
	})
	return p, err
}

func (g *gpxText) position(start xml.StartElement) (orb.Point, error) {
	lat, err := g.degrees(start, "lat")
	if err != nil {
		return orb.Point{}, err
	}
	lon, err := g.degrees(start, "lon")
	if err != nil {
		return orb.Point{}, err
	}
	at := orb.Point{lon, lat}
	if p := model.CheckPosition(at); p != nil {
		return orb.Point{}, g.out.refuse(g.line(), start.Name.Local, p.Reason, p.Fix)
	}
	switch {
	case lon == 180:
		at[0] = -180
		g.out.report(g.line(), "lon", "is 180, which GPX writes as -180: kept as -180", "")
	case lon == 0 && lat == 0:
		g.out.report(g.line(), start.Name.Local, "is at 0, 0, as receivers write without a fix", "check that somebody was there")
	}
	return at, nil
}

func (g *gpxText) degrees(start xml.StartElement, name string) (float64, error) {
	text := attribute(start, name)
	if strings.TrimSpace(text) == "" {
		return 0, g.out.refuse(g.line(), name, fmt.Sprintf("is missing from a %s", start.Name.Local), "a point needs lat and lon")
	}
	d, reason := parseDecimal(text)
	if reason != "" {
		return 0, g.out.refuse(g.line(), name, reason, "give degrees as in -16.1")
	}
	if d.exponent {
		g.out.report(g.line(), name, quote(text)+" has an exponent, which GPX does not allow: read anyway", "")
	}
	return d.value, nil
}

func (g *gpxText) height(line int, text string) float64 {
	d, reason := parseDecimal(text)
	switch {
	case reason != "":
		g.out.report(line, "ele", reason+": the height is left unknown", "")
	case offEarthHeight(d.value):
		g.out.report(line, "ele", quote(text)+" is no height on the earth: left unknown", "")
	default:
		if d.exponent {
			g.out.report(line, "ele", quote(text)+" has an exponent, which GPX does not allow: read anyway", "")
		}
		return d.value
	}
	return math.NaN()
}

func (g *gpxText) time(line int, text string) instant {
	when, noZone, reason := parseInstant(text)
	switch {
	case reason != "":
		g.out.report(line, "time", reason+": the time is left unknown", "")
	case noZone:
		g.out.report(line, "time", quote(text)+" has no zone: read as UTC, as GPX says", "check the device's setting")
	}
	return when
}

// word reads any other element for its text. Those of extensions are read for the texts
// of their innermost elements.
func (g *gpxText) word(start xml.StartElement, into *gpxWords) error {
	name, line := g.own(start), g.line()
	if len(into.words) == MaxMembers {
		return g.out.refuse(line, start.Name.Local, fmt.Sprintf("is one of more than %d texts of one element", MaxMembers), "")
	}
	switch name {
	case "extensions":
		return g.extension(start, "", into)
	case "link":
		if href := cleanText(strings.TrimSpace(attribute(start, "href"))); href != "" {
			into.words = append(into.words, gpxWord{"link", href})
		}
		return g.skip()
	case "":
		if sensitiveColumn(start.Name.Local) {
			return g.extension(start, "", into)
		}
		g.out.leave(line, start.Name.Local, "is not part of GPX and not within extensions: left out", "")
		return g.skip()
	}
	text, leaf, err := g.text()
	if err != nil {
		return err
	}
	if !leaf {
		g.out.report(line, name, "has elements within it: only its own text is kept", "")
	}
	if text != "" {
		into.words = append(into.words, gpxWord{name, cleanText(text)})
	}
	return nil
}

// extension reads extensions or one element within, and what is inside it. Whether a place is sensitive may also
// stand in an attribute, in an element that an attribute names, or within one that is so called: of is its name.
func (g *gpxText) extension(start xml.StartElement, of string, into *gpxWords) error {
	g.marks.pending = nil
	g.marks.taken++
	defer func() { g.marks.taken-- }()
	if len(into.words) >= MaxMembers {
		return g.out.refuse(g.line(), start.Name.Local, fmt.Sprintf("is one of more than %d texts of one element", MaxMembers), "")
	}
	name := start.Name.Local
	if of = calledSensitive(start, of); of != "" {
		name = of
	}
	for _, a := range start.Attr {
		switch {
		case a.Name.Space == "xmlns", a.Name.Local == "xmlns":
		case sensitiveColumn(a.Name.Local):
			into.words = append(into.words, gpxWord{"extensions." + a.Name.Local, cleanText(a.Value)})
		case of != "" && !sensitiveColumn(a.Value):
			into.words = append(into.words, gpxWord{"extensions." + of, cleanText(a.Value)})
		}
	}
	var text strings.Builder
	for {
		t, err := g.next()
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.StartElement:
			if err := g.extension(t, of, into); err != nil {
				return err
			}
		case xml.CharData:
			text.Write(t)
		case xml.EndElement:
			if s := strings.TrimSpace(text.String()); s != "" && g.own(start) != "extensions" {
				into.words = append(into.words, gpxWord{"extensions." + name, cleanText(s)})
			}
			return nil
		}
	}
}
