package intake

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"headcut/model"
)

// geoText reads one GeoJSON text (RFC 7946), feature by feature.
type geoText struct {
	text *plainText
	d    *json.Decoder
	out  *reading
	ids  idLabels
}

func readGeoJSON(in *source, out *reading) error {
	text := newPlainText(in, true)
	g := &geoText{text: text, d: json.NewDecoder(text), out: out, ids: idLabels{seen: map[string]bool{}}}
	if open, err := g.d.Token(); err != nil {
		return g.fault(err)
	} else if open != json.Delim('{') {
		return out.refuse(1, "", "is not GeoJSON: it is not an object", "")
	}
	var rest []member // all but the features
	hasFeatures := false
	for g.d.More() {
		g.text.allow(MaxFeature)
		if len(rest) == MaxMembers {
			return out.refuse(g.line(), "", fmt.Sprintf("has more than %d members", MaxMembers), "")
		}
		token, err := g.d.Token()
		if err != nil {
			return g.fault(err)
		}
		name := token.(string) // a token in this place is a name
		line := g.line()
		if name == "features" {
			if hasFeatures {
				return out.refuse(line, "features", "is there twice", "")
			}
			hasFeatures = true
			if err := g.features(); err != nil {
				return err
			}
			continue
		}
		m := member{name: name}
		if err := g.d.Decode(&m.raw); err != nil {
			return g.fault(err)
		}
		if (name == "properties" || name == "geometry" || name == "type") && slices.ContainsFunc(rest, func(other member) bool { return other.name == name }) {
			return out.refuse(line, name, "is there twice", "keep one of them in the file")
		}
		rest = append(rest, m)
		if name == "crs" {
			if err := g.checkCRS(line, m.raw); err != nil {
				return err
			}
		}
	}
	if _, err := g.d.Token(); err != nil { // the closing brace
		return g.fault(err)
	}
	if err := g.end(); err != nil {
		return err
	}
	if err := g.whole(rest, hasFeatures); err != nil {
		return err
	}
	g.ids.report(out)
	return nil
}

// end makes sure that nothing follows the text.
func (g *geoText) end() error {
	at := g.d.InputOffset()
	_, err := g.d.Token()
	if err == io.EOF {
		return nil
	}
	if g.text.in.err != nil {
		return g.text.in.err
	}
	return g.out.refuse(g.text.lineAt(at)+1, "", "something follows the GeoJSON text", "one file has one GeoJSON text: make one FeatureCollection of them")
}

// whole judges the text by its type, which may stand after everything else.
func (g *geoText) whole(rest []member, hasFeatures bool) error {
	raw, _ := named(rest, "type")
	kind, ok := textOf(raw)
	switch {
	case !ok:
		return g.out.refuse(1, "type", "is missing", "GeoJSON says its type")
	case kind == "FeatureCollection" && !hasFeatures:
		return g.out.refuse(1, "features", "is missing", "")
	case kind == "FeatureCollection":
		rest = slices.DeleteFunc(rest, func(m member) bool { return m.name == "fields" }) // in which an export describes its columns
		g.out.fileSensitive(0, sensitiveWithin(rest), sensitiveTexts(rest))
		return nil
	case hasFeatures:
		return g.out.refuse(1, "features", "is in a "+quote(kind), "only a FeatureCollection has features")
	case kind == "Feature":
		return g.feature(1, "", rest)
	}
	texts := model.Each(rest, func(m member) string { return string(rawText(m.name)) + ":" + string(m.raw) })
	return g.feature(1, "", []member{
		{"type", rawText("Feature")}, {"properties", json.RawMessage("null")}, {"geometry", json.RawMessage("{" + strings.Join(texts, ",") + "}")},
	})
}

func (g *geoText) features() error {
	if open, err := g.d.Token(); err != nil {
		return g.fault(err)
	} else if open != json.Delim('[') {
		return g.out.refuse(g.line(), "features", "is not an array", "")
	}
	for i := 0; g.d.More(); i++ {
		g.text.allow(MaxFeature)
		var raw json.RawMessage
		if err := g.d.Decode(&raw); err != nil {
			return g.fault(err)
		}
		line := g.text.lineAt(g.d.InputOffset() - int64(len(raw)))
		parts, twice, ok := membersAndTwice(raw)
		path := calledInFile(i+1, parts)
		if !ok {
			return g.out.refuse(line, path, fmt.Sprintf("is no object, or has more than %d members", MaxMembers), "")
		}
		if i := slices.IndexFunc(twice, func(name string) bool { return name == "properties" || name == "geometry" || name == "type" }); i >= 0 {
			g.out.leave(line, path+"."+twice[i], "stands twice in the feature, with different values: the feature is left out", "keep one of them in the file")
			continue
		}
		if err := g.feature(line, path, parts); err != nil {
			return err
		}
	}
	if _, err := g.d.Token(); err != nil { // the closing bracket
		return g.fault(err)
	}
	return nil
}

// calledInFile is how lines speak of a feature: its number, from 1, and its name or uid.
func calledInFile(number int, parts []member) string {
	properties, _ := named(parts, "properties")
	columns, _ := members(properties)
	name, _ := named(columns, "name")
	uid, _ := named(columns, "uid")
	text, _ := textOf(name)
	id, _ := textOf(uid)
	if text = strings.ToValidUTF8(cleanText(cmp.Or(text, id)), ""); text == "" || len(text) > 80 {
		return fmt.Sprintf("feature %d", number)
	}
	return fmt.Sprintf("feature %d (%s)", number, text)
}

func (g *geoText) line() int { return g.text.lineAt(g.d.InputOffset()) }

func (g *geoText) fault(err error) error {
	if g.text.in.err != nil {
		return g.text.in.err
	}
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return g.out.refuse(g.text.line, "", "the file ends in the middle", "copy or export it again")
	}
	if syntax, ok := errors.AsType[*json.SyntaxError](err); ok {
		fix := "copy or export the file again"
		if said := syntax.Error(); strings.Contains(said, "'N'") || strings.Contains(said, "'I'") {
			fix = "NaN and Infinity are no numbers of JSON"
		} else if strings.HasSuffix(said, "max depth") {
			fix = "it nests too deeply"
		}
		offset := max(g.d.InputOffset(), syntax.Offset-1)
		return g.out.refuse(g.text.lineAt(offset), "", fmt.Sprintf("byte %d is not JSON", offset+1), fix)
	}
	return g.out.refuse(g.line(), "", "cannot be read as JSON", "copy or export the file again")
}
