package intake

import (
	"encoding/xml"
	"io"
	"strings"
)

// The namespaces of the GPX schemas (topografix.com/GPX/1/1/gpx.xsd and 1/0/gpx.xsd).
const (
	gpx11 = "http://www.topografix.com/GPX/1/1"
	gpx10 = "http://www.topografix.com/GPX/1/0"
)

// gpxText reads GPX. Elements of other namespaces than the root's are none of GPX's.
type gpxText struct {
	*xmlText
	space string
	marks gpxMarks

	file, fileTexts []member // what the file, and none of its features, says of being sensitive
}

func readGPX(in *source, out *reading) error {
	g := &gpxText{xmlText: newXMLText(in, out)}
	g.marks.own, g.each = g.own, g.marks.token
	rooted := false
	for {
		t, err := g.next()
		switch {
		case err == io.EOF && !rooted:
			return out.refuse(0, "", "has no gpx element", "")
		case err == io.EOF:
			return nil
		case err != nil:
			return err
		}
		switch t := t.(type) {
		case xml.StartElement:
			if rooted {
				return out.refuse(g.line(), "", "has a second root element, "+quote(t.Name.Local), "remove what follows </gpx>")
			}
			rooted = true
			if err := g.root(t); err != nil {
				return err
			}
		case xml.CharData:
			if strings.TrimSpace(string(t)) != "" {
				return out.refuse(g.line(), "", "has text outside the gpx element", "")
			}
		}
	}
}

func (g *gpxText) root(start xml.StartElement) error {
	line := g.line()
	if strings.EqualFold(start.Name.Local, "kml") {
		return g.out.refuse(line, "", "is KML, which is not read", "save it as GeoJSON in WGS84, and keep the columns uid and version")
	}
	if start.Name.Local != "gpx" {
		return g.out.refuse(line, "", "is not GPX: its root element is "+quote(start.Name.Local), "save it as GPX 1.1, or as GeoJSON in WGS84")
	}
	g.space = start.Name.Space
	version := attribute(start, "version")
	switch {
	case g.space == gpx10 || g.space != gpx11 && version == "1.0":
		g.out.report(line, "", "is GPX 1.0: read as far as 1.1 has the same elements", "")
	case g.space == "":
		g.out.report(line, "", "has no GPX namespace: read as GPX 1.1", "")
	case g.space != gpx11:
		return g.out.refuse(line, "", "is not GPX: the namespace is "+quote(g.space), "export it as GPX 1.1")
	case version != "1.1":
		g.out.report(line, "version", "is "+quote(version)+": read as GPX 1.1", "")
	}
	order := g.ordered("metadata", "wpt", "rte", "trk", "extensions")
	ofFile := func() {
		words, texts := g.marks.take()
		for _, w := range words {
			g.file = append(g.file, member{strings.TrimPrefix(w.name, "extensions."), rawText(w.text)})
		}
		g.fileTexts = append(g.fileTexts, texts...)
	}
	err := g.children(func(child xml.StartElement) error {
		ofFile() // of the root
		switch order(child); g.own(child) {
		case "wpt":
			return g.waypoint(child)
		case "rte":
			return g.route()
		case "trk":
			return g.track()
		}
		err := g.skip()
		ofFile()
		return err
	})
	ofFile()
	g.out.fileSensitive(line, g.file, g.fileTexts)
	return err
}

// own is the local name of an element of GPX, "" for any other.
func (g *gpxText) own(start xml.StartElement) string {
	if start.Name.Space != g.space {
		return ""
	}
	return start.Name.Local
}

// ordered tells once of the file when elements stand in another order than the schema's.
func (g *gpxText) ordered(names ...string) func(xml.StartElement) {
	highest := 0
	return func(child xml.StartElement) {
		for rank, name := range names {
			if g.own(child) != name {
				continue
			}
			if rank < highest {
				g.out.reportOnce(g.line(), name, "comes after elements that it should come before: read anyway", "")
			}
			highest = max(highest, rank)
		}
	}
}

func attribute(start xml.StartElement, name string) string {
	for _, a := range start.Attr {
		if a.Name.Space == "" && a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}
