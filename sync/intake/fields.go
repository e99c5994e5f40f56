package intake

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/paulmach/orb"

	"headcut/model"
)

// xField is the name under which a value stays that the table of kinds does not know. A
// register's names are of letters, digits and a few marks: what else a name holds is
// written as _, and the name then ends in its hash, so that no two become one.
func xField(name string) string {
	const most = 48 // bytes, with room for the rest in register.FieldNameBytes
	plain := strings.Map(func(c rune) rune {
		if c != utf8.RuneError && (unicode.IsLetter(c) || unicode.IsDigit(c) || unicode.IsMark(c) || strings.ContainsRune(" _-.:", c)) {
			return c
		}
		return '_'
	}, name)
	if len(plain) > most {
		plain = strings.ToValidUTF8(plain[:most], "")
	}
	if last, _ := utf8.DecodeLastRuneInString(plain); plain == name && plain != "" && !strings.ContainsRune(" _-.:", last) {
		return "x-" + plain
	}
	hash := sha256.Sum256([]byte(name))
	return "x-" + plain + "-" + hex.EncodeToString(hash[:4])
}

// cleanText leaves out the characters that XML 1.0 has no way to write, such as NUL: exports
// could not write them.
func cleanText(s string) string {
	if strings.IndexFunc(s, unwritable) < 0 {
		return s
	}
	return strings.Map(func(r rune) rune {
		if unwritable(r) {
			return -1
		}
		return r
	}, s)
}

func unwritable(r rune) bool {
	return r < 0x20 && r != '\t' && r != '\n' && r != '\r' || r == 0xfffe || r == 0xffff
}

// rawText is the JSON text of s. Like all values here it is written as encoding/json
// writes it within an entry, so that its size is the size it has there.
func rawText(s string) json.RawMessage {
	raw, err := json.Marshal(s)
	if err != nil {
		panic(err) // no string fails
	}
	return raw
}

func rawNumber(v float64) json.RawMessage {
	return strconv.AppendFloat(nil, v, 'f', -1, 64)
}

// rawList is the JSON array of items; an empty item is null.
func rawList(items []json.RawMessage) json.RawMessage {
	texts := model.Each(items, func(item json.RawMessage) string { return cmp.Or(string(item), "null") })
	return json.RawMessage("[" + strings.Join(texts, ",") + "]")
}

// setHeights gives fields the heights of geometry's positions; NaN is unknown.
func setHeights(fields map[string]json.RawMessage, geometry orb.Geometry, heightsM []float64) {
	if _, isPoint := geometry.(orb.Point); isPoint && len(heightsM) == 1 {
		if !math.IsNaN(heightsM[0]) {
			fields["gpsHeightM"] = rawNumber(heightsM[0])
		}
		return
	}
	if slices.ContainsFunc(heightsM, isHeight) {
		fields["gpsHeightsM"] = heights(heightsM)
	}
}

func isHeight(h float64) bool { return !math.IsNaN(h) }

// heights is the JSON list of heights, with null for those that are unknown.
func heights(heightsM []float64) json.RawMessage {
	return rawList(model.Each(heightsM, func(h float64) json.RawMessage {
		if isHeight(h) {
			return rawNumber(h)
		}
		return nil
	}))
}

// heightField bounds the height of any position as it bounds a point's.
var heightField = model.CommonFields[slices.IndexFunc(model.CommonFields, func(f model.Field) bool { return f.Name == "gpsHeightM" })]

func offEarthHeight(heightM float64) bool {
	return heightM < heightField.Min || heightM > heightField.Max
}

// setDay gives fields the day on which the record was observed, if that is known.
func setDay(fields map[string]json.RawMessage, when instant, geometry orb.Geometry) {
	lonDeg := 0.0
	if pieces := piecesIn(geometry); len(pieces) > 0 {
		lonDeg = pieces[0].positions[0].Lon()
	}
	if day := when.day(lonDeg); day != "" {
		fields["observedOn"] = rawText(day)
	}
}
