package export

import (
	"cmp"
	"encoding/json"
	"strings"
	"time"

	"headcut/model"
)

// History is what a register knows of a feature besides its fields.
type History struct {
	Version    string // which entries the feature was folded from: intake finds by it what an editor had seen
	RecordedBy string // author of the first entry
	RecordedAt string // RFC 3339; "" when the record does not say
	ChangedBy  string // author of the newest entry
	ChangedAt  string
	Struck     bool // it was struck out: shown without a place and without figures
	Clashes    []Clash
}

// Clash is a field of which two people said different things, neither having seen the
// other's entry. The first value is the one in the feature's fields.
type Clash struct {
	Field  string // "strike" when one struck out what the other edited
	Values []Claim
}

// Claim is one side of a clash.
type Claim struct {
	Value  json.RawMessage
	Author string
	At     string // RFC 3339; "" when not known
}

// Columns of a feature's history, after all others. The version stands beside the uid.
var (
	versionColumn  = column{name: "version", label: "Version", of: model.Text}
	historyColumns = []column{
		{name: "recordedBy", label: "Recorded by", of: model.Text},
		{name: "recordedAt", label: "Recorded at", of: model.Instant},
		{name: "changedBy", label: "Last changed by", of: model.Text},
		{name: "changedAt", label: "Last changed at", of: model.Instant},
		{name: "clashes", label: "Clashes", of: model.Text},
		{name: StruckColumn, label: "Struck out", of: model.YesNo},
	}
)

// StruckColumn says of every feature whether it was struck out.
const StruckColumn = "struckOut"

var yesCell, noCell = cell{yesNo, []byte("true")}, cell{yesNo, []byte("false")}

func (r *row) takeHistory() {
	h := &r.history
	r.cells = append(r.cells, r.known(h.RecordedBy), r.known(h.RecordedAt), r.known(h.ChangedBy), r.known(h.ChangedAt))
	clashes := lines(&r.reader, h.Clashes, func(dst []byte, c Clash) []byte { return appendClash(dst, r.table, c) })
	struck := noCell
	if h.Struck {
		struck = yesCell
	}
	r.cells = append(r.cells, clashes, struck)
}

// known is a cell of a text, unknown when it is empty.
func (r *row) known(text string) cell {
	if text == "" {
		return cell{}
	}
	return r.reader.text(text)
}

// appendClash writes one line: Name: "Dam 5" (Ana, 13 May 2026) or "Dam 6" (Ben, 14 May 2026).
func appendClash(dst []byte, t *table, c Clash) []byte {
	if c.Field == "strike" {
		dst = append(dst, "Struck out or kept: "...)
	} else {
		dst = append(appendClean(dst, t.labelOf(c.Field)), ": "...)
	}
	for i, claim := range c.Values {
		if i > 0 {
			dst = append(dst, " or "...)
		}
		dst = appendClean(append(appendClean(dst, claimed(c.Field, claim.Value)), " ("...), claim.Author)
		dst = append(appendDay(dst, claim.At), ')')
	}
	return dst
}

// claimed is a value as a line shows it: a text in quotation marks, a place as a place.
func claimed(field string, value json.RawMessage) string {
	text := strings.TrimSpace(string(value))
	switch {
	case field == "geometry" && text != "null":
		return "a place"
	case field == "strike" && text == "true":
		return "struck out"
	case field == "strike" && text == "false":
		return "restored"
	case field == "strike":
		return "edited"
	case text == "null":
		return "nothing"
	case len(text) > 80:
		return "a long value"
	}
	return text
}

func (t *table) labelOf(field string) string {
	if c, ok := model.Find(t.columns[:t.fields], func(c column) bool { return c.field == field }); ok {
		return c.label
	}
	return cmp.Or(map[string]string{"kind": "Kind", "geometry": "Place"}[field], field)
}

// dayOf is the day of an RFC 3339 time or date where it was written, "" when it is neither.
func dayOf(at string) string {
	if day := at[:min(len(at), len(time.DateOnly))]; isDay(day) {
		return day
	}
	return ""
}

// appendDay writes the day of a time behind what stands before it: ", 13 May 2026". It
// writes nothing when there is none.
func appendDay(dst []byte, at string) []byte {
	day := dayOf(at)
	if day == "" {
		return dst
	}
	month := time.Month((day[5]-'0')*10 + day[6] - '0')
	dst = append(append(dst, ", "...), strings.TrimPrefix(day[8:], "0")...)
	return append(append(append(append(dst, ' '), month.String()...), ' '), day[:4]...)
}
