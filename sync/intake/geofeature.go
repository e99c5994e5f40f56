package intake

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/sync/register"
)

// feature makes a record of a Feature's members; path leads to it.
func (g *geoText) feature(line int, path string, parts []member) error {
	refuse := func(p *model.Problem) error {
		p = within(p, path)
		return g.out.refuse(line, p.Path, p.Reason, p.Fix)
	}
	report := func(at, reason, fix string) {
		p := within(&model.Problem{Path: at, Reason: reason}, path)
		g.out.report(line, p.Path, p.Reason, fix)
	}
	reportValue := func(at, reason, fix string) {
		if g.out.next.Ours == nil {
			report(at, reason, fix)
			return
		}
		g.out.reportValue((&model.Problem{Line: line, Path: at, Reason: reason, Fix: fix}).Within(cmp.Or(path, "feature")))
	}
	rawType, _ := named(parts, "type")
	if kind, _ := textOf(rawType); kind != "Feature" {
		return refuse(&model.Problem{Path: "type", Reason: "is " + quote(kind) + ", not \"Feature\""})
	}
	if crs, ok := named(parts, "crs"); ok {
		if err := g.checkCRS(line, crs); err != nil {
			return err
		}
	}
	rawProperties, _ := named(parts, "properties")
	var properties []member
	nested := sensitiveWithin(parts)
	if len(rawProperties) > 0 && string(rawProperties) != "null" {
		var ok bool
		var twice []string
		if properties, twice, ok = membersAndTwice(rawProperties); !ok {
			return refuse(&model.Problem{Path: "properties", Reason: fmt.Sprintf("is no object, or has more than %d members", MaxMembers)})
		}
		for _, m := range properties {
			if !sensitiveColumn(m.name) {
				nested = append(nested, sensitiveIn(m.raw)...)
			}
		}
		for _, name := range slices.DeleteFunc(twice, func(name string) bool { return name != "kind" && !knownElsewhere(name) }) {
			report(name, "stands more than once, with different values: the last is taken", "keep one of them in the file")
		}
	}

	if len(nested) > 0 {
		properties = append(properties, nested...)
		for _, m := range nested {
			report(m.name, "stands outside the feature's own properties: read as one of them", "put it into properties in the file")
		}
	}

	place, fault := parsePlace(parts)
	if fault != nil {
		return refuse(fault)
	}
	g.out.next.Ours = oursOf(carried(properties), place.geometry)
	ours := g.out.next.Ours != nil && !g.out.next.Ours.Unversioned
	for _, reason := range place.doubts() {
		report("geometry", reason, "")
	}
	if !ours && place.misturned() { // shapefiles have every ring so, and ours lose nothing by it
		g.out.reportOnce(line, "geometry", "rings turn against RFC 7946, here and perhaps in others: holes are known by their order, and exports turn them", "")
	}

	fields := make(map[string]json.RawMessage, 4+len(properties))
	source := []string{"feature"}
	if place.geometry != nil {
		fields["geometry"] = model.AppendGeometry(nil, place.geometry)
		source = append(source, string(fields["geometry"]), string(heights(place.heightsM)))
		if fromKML(properties) {
			place.heightsM = aboveGround(place.heightsM)
		}
		setHeights(fields, place.geometry, place.heightsM)
	}
	if label := g.label(parts, report); label != "" {
		fields["file-id"] = rawText(label)
		source = append(source, "id", label)
	}
	said := properties
	if ours {
		said = recorded(carried(properties))
	}
	when := g.out.setProperties(withoutBlankIDs(headed(carried(said)), g.out.next.Ours), place.geometry, fields, reportValue)
	for _, m := range said {
		clean, _ := cleanJSON(m.raw)
		source = append(source, m.name, string(clean))
	}
	return g.out.keep(line, source, fields, when)
}

// within is a problem below a path, "" for the whole text.
func within(p *model.Problem, path string) *model.Problem {
	if path == "" {
		return p
	}
	return p.Within(path)
}

// aboveGround are heights of KML without those of 0, which every position on the ground has there
// (OGC 07-147r2, altitudeMode): nobody measured them.
func aboveGround(heightsM []float64) []float64 {
	return model.Each(heightsM, func(heightM float64) float64 {
		if heightM == 0 {
			return math.NaN()
		}
		return heightM
	})
}

// recorded leaves out of the columns of an export those that were worked out.
func recorded(columns []member) []member {
	return slices.DeleteFunc(slices.Clone(columns), func(m member) bool {
		return slices.Contains(ownColumns, m.name) || m.name == "struckOut" || strings.HasSuffix(m.name, "AsRecorded") || !knownElsewhere(m.name) && isFigure("", m.name)
	})
}

// withoutBlankIDs leaves out the columns uid and version that say nothing: of a row that was
// added to an export, or copied in it and its uid emptied.
func withoutBlankIDs(columns []member, ours *Ours) []member {
	if ours != nil {
		return columns
	}
	uid, _ := named(columns, "uid")
	return slices.DeleteFunc(slices.Clone(columns), func(m member) bool {
		return (m.name == "uid" || m.name == "version") && (blank(m.raw) || m.name == "version" && blank(uid))
	})
}

// label is the id a file gave a feature, "" when it has none that counts.
func (g *geoText) label(parts []member, report func(at, reason, fix string)) string {
	raw, ok := named(parts, "id")
	if !ok || string(raw) == "null" {
		g.ids.add("", false)
		return ""
	}
	text, isText := textOf(raw)
	switch {
	case isText:
		text = cleanText(text)
	case raw[0] == '-' || raw[0] >= '0' && raw[0] <= '9':
		text = string(raw)
		if v, err := strconv.ParseFloat(text, 64); err != nil || v != math.Trunc(v) {
			report("id", text+" is not a whole number: an odd id, kept as a label", "")
		}
	default:
		g.out.LeftOut++
		report("id", "is neither text nor number: left out", "")
		return ""
	}
	g.ids.add(text, !isText)
	return text
}

// setProperties sorts the properties into fields and returns when the record was seen.
func (out *reading) setProperties(properties []member, geometry orb.Geometry, fields map[string]json.RawMessage, report func(at, reason, fix string)) time.Time {
	var clues []clue
	name, kindText := "", ""
	for _, m := range properties {
		text, _ := textOf(m.raw)
		if m.name == "kind" {
			kindText = text
		}
		by, is := clueColumn(m.name)
		switch {
		case plainWord(m.name) == "name":
			name = text
		case !is || string(m.raw) == "null":
		case m.name == "kind" && kindOf(text) == "":
			report("properties.kind", out.noKind(text), "")
		default:
			clues = append(clues, clue{by, "properties." + m.name, text})
		}
	}
	kindName := out.assign(clues, name, geometry, report)
	if kindText != "" && (kindOf(kindText) == "" || kindName == Unsorted && kindText != Unsorted) {
		fields[xField("kind")] = rawText(cleanText(kindText))
	}
	fields["kind"] = rawText(kindName)
	kind, _ := model.KindNamed(kindName) // Unsorted is a kind too

	var when instant
	for _, m := range properties {
		if string(m.raw) == "null" || m.name == "kind" || sensitiveColumn(m.name) {
			continue // null says that the value is unknown, as its absence does
		}
		clean, mended := cleanJSON(m.raw)
		if mended {
			report("properties."+m.name, "has characters that no text can hold: left out or written as U+FFFD", "")
		}
		field, known := out.fieldOf(kind, properties, m.name, report)
		if _, given := fields[field.Name]; given && field.Name != m.name {
			known = false
		}
		if known {
			clean = unwrapped(field, clean)
		}
		switch {
		case known && field.Type == model.Date && string(clean) == `""`:
			continue // as good as null
		case known && wrongDay(field, clean, out.options.Today) != "":
			out.leaveValue()
			report("properties."+m.name, wrongDay(field, clean, out.options.Today)+": left out", "")
			continue
		case known && holds(field, clean) == "":
			fields[field.Name] = clean
			continue
		case known:
			if after, ok := retyped(field, clean); ok && retypes(field.Type) && holds(field, after) == "" {
				report("properties."+m.name, quote(plain(clean))+": taken as "+plain(after), "")
				fields[field.Name] = after
				continue
			}
			report("properties."+m.name, fmt.Sprintf("%s: kept as %s", holds(field, clean), xField(m.name)), "")
		case knownElsewhere(m.name) && kindName != Unsorted:
			out.reportOnce(0, m.name, fmt.Sprintf("is no field of a %s: kept as %s", strings.ToLower(kind.Label), xField(m.name)), "")
		case xField(m.name) != "x-"+m.name:
			report("properties."+m.name, "cannot name a field: kept as "+xField(m.name), "")
		}
		fields[xField(m.name)] = plainValue(clean)
		if seen, ok := observed(m.name, clean); ok && when.at.IsZero() {
			when = seen
		}
	}
	out.setSensitive(properties, sensitiveTexts(properties), fields, func(at, reason, fix string) { report("properties."+at, reason, fix) })
	var rows []model.LevelRow
	if raw, ok := fields["rows"]; ok && kindName == "level-run" && json.Unmarshal(raw, &rows) == nil && len(rows) > 0 {
		if _, reason, _ := bookFault(rows); reason != "" {
			report("properties.rows", reason, "")
		} else if reason, fix := noLevels(rows); reason != "" {
			out.note(0, reason, fix)
		}
	}
	if _, given := fields["observedOn"]; !given {
		setDay(fields, when, geometry)
	}
	return when.at
}

// fieldOf is the field of a kind that a column holds, as its name says it, in another spelling or
// cut off.
func (out *reading) fieldOf(kind *model.Kind, columns []member, name string, report func(at, reason, fix string)) (model.Field, bool) {
	if field, ok := kind.FieldNamed(name); ok {
		return field, name != "geometry"
	}
	if field, ok := spelled(kind, name, columns); ok {
		out.reportOnce(0, name, "is taken as "+field.Name, "")
		return field, true
	}
	field, several := cutOff(*kind, name)
	switch {
	case field.Name != "":
		report("properties."+name, "is a cut-off "+field.Name+": taken as that", "")
		return field, true
	case several != "":
		report("properties."+name, "looks like a cut-off "+several+": kept as "+xField(name), "")
	}
	return model.Field{}, false
}

// unwrapped is the list in a JSON text, which is how exports write one.
func unwrapped(field model.Field, clean json.RawMessage) json.RawMessage {
	switch field.Type {
	case model.Photos, model.Numbers, model.LevelRows, model.SpacingRows, model.RateRows, model.RainRows:
		if text, ok := textOf(clean); ok && strings.HasPrefix(text, "[") && json.Valid([]byte(text)) {
			list, _ := cleanJSON(json.RawMessage(text))
			return list
		}
	}
	return clean
}

// holds says why a field cannot hold a value, "" when it can: the value must be right for
// the field, and such that a register takes it.
func holds(field model.Field, clean json.RawMessage) string {
	if p := field.Check(clean); p != nil {
		return p.Reason
	}
	if clean[0] != '[' && clean[0] != '{' {
		return ""
	}
	var rows []json.RawMessage
	if field.Type == model.LevelRows && json.Unmarshal(clean, &rows) == nil && len(rows) > MaxLevelRows {
		return fmt.Sprintf("has more than %d rows", MaxLevelRows)
	}
	probe := register.Entry{
		Version: register.Version, ID: EntryID(time.Time{}, Key{}), Property: "p", Feature: "f", Device: "d", DeviceSeq: 1,
		SeenAt: unknownTime, Author: DefaultAuthor, Set: model.FieldValues{{Name: field.Name, Raw: clean}},
	}
	_, err := register.Encode(probe)
	if p, ok := errors.AsType[*model.Problem](err); ok {
		return p.Reason
	}
	return ""
}

// observed reads a property that says when the feature was seen. GDAL writes the times of
// a handheld as time, in a form of its own when the driver has no better.
func observed(name string, clean json.RawMessage) (instant, bool) {
	switch name {
	case "time", "observed", "observedAt", "seenAt":
	default:
		return instant{}, false
	}
	text, _ := textOf(clean)
	if t, err := time.Parse("2006/01/02 15:04:05.999-07", text); err == nil {
		text = t.Format(time.RFC3339Nano)
	}
	when, _, reason := parseInstant(text)
	return when, reason == ""
}

// idLabels counts the ids of a file's features. They are labels and make no keys: what is odd
// about them is only reported.
type idLabels struct {
	texts, numbers, missing int
	seen                    map[string]bool
	repeated                string
}

func (l *idLabels) add(label string, isNumber bool) {
	switch {
	case label == "":
		l.missing++
		return
	case isNumber:
		l.numbers++
	default:
		l.texts++
	}
	if l.seen[label] && l.repeated == "" {
		l.repeated = label
	}
	l.seen[label] = true
}

func (l *idLabels) report(out *reading) {
	if l.repeated != "" {
		out.report(0, "id", "several features have the id "+quote(l.repeated)+": ids are labels here and make no features one", "")
	}
	if l.texts > 0 && l.numbers > 0 {
		out.report(0, "id", fmt.Sprintf("%d ids are texts and %d are numbers: all are kept as labels", l.texts, l.numbers), "")
	}
	if l.missing > 0 && l.texts+l.numbers > 0 {
		out.report(0, "id", fmt.Sprintf("%d features have no id and %d have one", l.missing, l.texts+l.numbers), "")
	}
}
