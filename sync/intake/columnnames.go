package intake

import (
	"encoding/json"
	"slices"
	"strings"

	"headcut/model"
)

// Programs rename columns on the way from one format to another, and add columns of their own.
// What is undone here is what GDAL does, read off the files that it writes: the tests drive it.

// kmlElements are what the KML drivers make columns of besides a feature's own data: how it is
// drawn, and what an export works out of its other columns.
var kmlElements = []string{"altitudeMode", "tessellate", "extrude", "visibility", "drawOrder", "icon", "snippet"}

// kmlTexts hold something in the KML of others, and in our own exports only what was worked out.
var kmlTexts = []string{"description", "timestamp", "begin", "end"}

// fromKML reports whether a driver for KML made the columns.
func fromKML(columns []member) bool {
	visibility, has := named(columns, "visibility") // -1 where the KML says nothing of it
	_, tessellate := named(columns, "tessellate")
	_, name := named(columns, "Name")
	return has && (tessellate || name || string(visibility) == "-1")
}

// headed gives the name and the notes of a feature their own names, where the columns say them in
// other words: "Name", "DESCRIPTION".
func headed(columns []member) []member {
	all := slices.Clone(columns)
	var names, notes []int // columns that say either
	for i, m := range all {
		switch word := plainWord(m.name); {
		case blank(m.raw):
		case word == "name":
			names = append(names, i)
		case pointFields[word] == "notes":
			notes = append(notes, i)
		}
	}
	if len(names) == 1 { // of several nobody can tell which is meant
		all[names[0]].name = "name"
	}
	if len(notes) == 1 {
		all[notes[0]].name = "notes"
	}
	return all
}

// isMadeUp tells whether a name is what our own KML calls a feature of such columns that has none: by its kind,
// a visit by what it was to.
func isMadeUp(name json.RawMessage, columns []member) bool {
	raw, _ := named(columns, "kind")
	word, _ := textOf(raw)
	kind, ok := model.KindNamed(kindOf(word))
	text, _ := textOf(name)
	return ok && (text == kind.Label || kind.Name == "visit" && strings.HasPrefix(text, kind.Label+" to "))
}

// gpxPrefix begins the name of each column that was carried through GPX as an extension.
const gpxPrefix = "ogr_"

// carried gives the columns of a feature the names they had before programs carried them from
// format to format, and leaves out what those added.
func carried(columns []member) []member {
	has := func(name string) bool { _, ok := named(columns, name); return ok }
	fromKML := fromKML(columns)
	fromGPX := has(gpxPrefix + "uid")
	if fromGML := has("gml_id"); !fromKML && !fromGPX && !fromGML {
		return columns
	}
	_, uid := named(columns, "uid")
	ours := uid || fromGPX
	all := make([]member, 0, len(columns))
	for _, m := range columns {
		switch {
		case m.name == "gml_id":
			continue
		case fromKML && (slices.Contains(kmlElements, m.name) || ours && slices.Contains(kmlTexts, m.name)):
			continue
		case fromKML && ours && m.name == "Name" && isMadeUp(m.raw, columns):
			continue
		case fromKML && m.name == "Name" && !has("name"):
			m.name = "name"
		case fromGPX && m.name == gpxPrefix+"id":
			continue
		case fromGPX && strings.HasPrefix(m.name, gpxPrefix):
			m.name = strings.TrimPrefix(m.name, gpxPrefix)
		}
		all = append(all, m)
	}
	return all
}
