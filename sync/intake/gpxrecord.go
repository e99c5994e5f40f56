package intake

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
)

func (g *gpxText) waypoint(start xml.StartElement) error {
	line := g.line()
	p, err := g.point(start, true)
	g.marked(&p.gpxWords)
	if err != nil {
		return err
	}
	return g.keep(line, "waypoint", p.at, []gpxPoint{p}, p.gpxWords)
}

func (g *gpxText) route() error {
	line := g.line()
	var words gpxWords
	var points []gpxPoint
	err := g.children(func(child xml.StartElement) error {
		if g.own(child) == "rtept" {
			return g.addPoint(child, &points)
		}
		return g.title(child, &words)
	})
	g.marked(&words)
	switch {
	case err != nil:
		return err
	case len(points) < 2:
		g.out.leave(line, "rte", "has fewer than two points: no line, left out", "")
		return nil
	}
	return g.keepLines(line, "route", [][]gpxPoint{points}, words)
}

// track reads a track. A new segment is where the receiver had lost its fix: segments are
// never joined.
func (g *gpxText) track() error {
	line := g.line()
	var words gpxWords
	var segments [][]gpxPoint
	err := g.children(func(child xml.StartElement) error {
		if g.own(child) != "trkseg" {
			return g.title(child, &words)
		}
		segmentLine := g.line()
		points, err := g.segment()
		switch {
		case err != nil:
			return err
		case len(points) == 0:
			g.out.leave(segmentLine, "trkseg", "is empty: left out", "")
		case len(points) == 1:
			g.out.leave(segmentLine, "trkseg", "has one point: no line, left out", "")
		default:
			segments = append(segments, points)
		}
		return nil
	})
	g.marked(&words)
	switch {
	case err != nil:
		return err
	case len(segments) == 0:
		g.out.leave(line, "trk", "has no segment of two points or more: left out", "")
		return nil
	}
	return g.keepLines(line, "track", segments, words)
}

func (g *gpxText) segment() ([]gpxPoint, error) {
	var points []gpxPoint
	err := g.children(func(child xml.StartElement) error {
		if g.own(child) != "trkpt" {
			return g.skip()
		}
		return g.addPoint(child, &points)
	})
	return points, err
}

func (g *gpxText) addPoint(start xml.StartElement, points *[]gpxPoint) error {
	if len(*points) == MaxPoints {
		return g.out.refuse(g.line(), start.Name.Local, fmt.Sprintf("is one of more than %d points on end", MaxPoints), "split the file")
	}
	p, err := g.point(start, false)
	*points = append(*points, p)
	return err
}

// title reads an element of a route or track other than its points.
func (g *gpxText) title(child xml.StartElement, words *gpxWords) error {
	if g.own(child) != "name" {
		return g.word(child, words)
	}
	text, _, err := g.text()
	if words.name == "" {
		words.name = cleanText(text)
	}
	return err
}

func lineOf(points []gpxPoint) orb.LineString {
	line := make(orb.LineString, len(points))
	for i, p := range points {
		line[i] = p.at
	}
	return line
}

// pointsPerRecord bounds a line, so that its positions fit into an entry.
const pointsPerRecord = 5_000

// keepLines makes the record of a route or track. A longer one becomes several that join
// end to end, cut by count from the start: when a track has grown and is read again, its
// earlier lines are known.
func (g *gpxText) keepLines(line int, what string, segments [][]gpxPoint, words gpxWords) error {
	pieces := piecesOf(segments)
	if len(pieces) > 1 {
		g.out.report(line, what, fmt.Sprintf("is long: taken as %d lines that join end to end", len(pieces)), "")
	}
	name := words.name
	for i, piece := range pieces {
		if i > 0 {
			words.name = strings.TrimSpace(fmt.Sprintf("%s part %d", name, i+1))
		}
		var lines orb.MultiLineString
		for _, points := range piece {
			lines = append(lines, lineOf(points))
		}
		var geometry orb.Geometry = lines
		if len(lines) == 1 {
			geometry = lines[0]
		}
		if err := g.keep(line, what, geometry, slices.Concat(piece...), words); err != nil {
			return err
		}
	}
	return nil
}

// piecesOf shares segments out into pieces of at most pointsPerRecord points, repeating
// the point where it cuts a segment.
func piecesOf(segments [][]gpxPoint) [][][]gpxPoint {
	var pieces [][][]gpxPoint
	var piece [][]gpxPoint
	room := pointsPerRecord
	for _, rest := range segments {
		for {
			if room < 2 {
				pieces, piece, room = append(pieces, piece), nil, pointsPerRecord
			}
			n := min(room, len(rest))
			piece, room = append(piece, rest[:n]), room-n
			if n == len(rest) {
				break
			}
			rest = rest[n-1:]
		}
	}
	return append(pieces, piece)
}

// keep makes the record of a waypoint, route or track.
func (g *gpxText) keep(line int, what string, geometry orb.Geometry, points []gpxPoint, words gpxWords) error {
	fields := map[string]json.RawMessage{"geometry": model.AppendGeometry(nil, geometry)}
	if words.name != "" {
		fields["name"] = rawText(words.name)
	}
	g.setWords(line, geometry, words, fields)

	heightsM := make([]float64, len(points))
	times := make([]json.RawMessage, len(points))
	names := make([]json.RawMessage, len(points))
	var first instant
	named := false
	for i, p := range points {
		heightsM[i] = p.heightM
		if p.name != "" {
			names[i], named = rawText(p.name), true
		}
		if p.when.at.IsZero() {
			continue
		}
		times[i] = rawText(p.when.at.Format(time.RFC3339Nano))
		if first.at.IsZero() {
			first = p.when
		}
	}
	setHeights(fields, geometry, heightsM)
	setDay(fields, first, geometry)
	if what != "route" && (!first.at.IsZero() || slices.ContainsFunc(words.words, fixed)) {
		fields["positionBasis"] = rawText(string(model.GPS))
	}
	if len(points) > 1 && !first.at.IsZero() {
		fields[xField("times")] = rawList(times)
	}
	if len(points) > 1 && named {
		fields[xField("pointNames")] = rawList(names)
	}

	columns := words.columns()
	g.out.next.Ours = oursOf(columns, geometry)
	g.out.setSensitive(columns, words.texts, fields, func(at, reason, fix string) {
		g.out.reportValue(g.out.problem(line, "extensions."+at, reason, fix))
	})
	source := []string{what, string(fields["geometry"]), words.name, string(rawList(times)), string(heights(heightsM)), string(rawList(names))}
	for _, w := range words.words {
		source = append(source, w.name, w.text)
	}
	return g.out.keep(line, source, fields, first.at)
}

// columns are the columns of an export that GDAL carries through GPX: the name, and the others as
// extensions.
func (w gpxWords) columns() []member {
	all := []member{{"name", rawText(w.name)}}
	for _, word := range w.words {
		if name, ok := strings.CutPrefix(word.name, "extensions."); ok && name != "name" || sensitiveColumn(name) {
			all = append(all, member{name, rawText(word.text)})
		}
	}
	return all
}

// fixed is whether a word of a waypoint is of a receiver's fix (fixType and the elements about
// it in the schema's wptType). A point with neither such a word nor a time may as well have
// been drawn on a screen, and a route is planned: how those came nobody said.
func fixed(w gpxWord) bool {
	switch w.name {
	case "fix":
		return w.text != "none"
	case "sat", "hdop", "vdop", "pdop":
		return true
	}
	return false
}

// setWords finds the kind among the words, makes cmt and desc the notes and keeps the
// others. A word that is there several times is kept as lines of one text.
func (g *gpxText) setWords(line int, geometry orb.Geometry, words gpxWords, fields map[string]json.RawMessage) {
	texts := make(map[string]string, len(words.words))
	for _, w := range words.words {
		if before, ok := texts[w.name]; ok && before != w.text {
			w.text = before + "\n" + w.text
		}
		texts[w.name] = w.text
	}
	var clues []clue
	for name, text := range texts {
		if by, ok := clueColumn(strings.TrimPrefix(name, "extensions.")); ok {
			clues = append(clues, clue{by, name, text})
		}
	}
	slices.SortFunc(clues, func(a, b clue) int { return strings.Compare(a.path, b.path) })
	kind := g.out.assign(clues, words.name, geometry, func(path, reason, fix string) { g.out.report(line, path, reason, fix) })
	fields["kind"] = rawText(kind)

	notes := texts["desc"]
	if cmt := texts["cmt"]; cmt != notes {
		notes = strings.TrimSpace(cmt + "\n" + notes)
	}
	if notes != "" {
		fields["notes"] = rawText(notes)
	}
	for name, text := range texts {
		if name != "cmt" && name != "desc" {
			fields[xField(name)] = rawText(text)
		}
	}
}
