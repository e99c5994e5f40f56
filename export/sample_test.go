package export

import (
	"encoding/json"
	"fmt"
	"iter"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"headcut/model"
	"headcut/model/figures"
)

// texts makes recorded fields from Go values.
func texts(t testing.TB, values map[string]any) map[string]json.RawMessage {
	t.Helper()
	out := map[string]json.RawMessage{}
	for name, v := range values {
		raw, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		out[name] = raw
	}
	return out
}

func of(features ...model.Feature) iter.Seq2[model.Feature, error] {
	return func(yield func(model.Feature, error) bool) {
		for _, f := range features {
			if !yield(f, nil) {
				return
			}
		}
	}
}

// write exports to memory.
func write(t testing.TB, format string, s Source) string {
	t.Helper()
	f, ok := Named(format)
	if !ok {
		t.Fatalf("Named(%q) knows no such format", format)
	}
	var out strings.Builder
	if err := f.Write(&out, s); err != nil {
		t.Fatalf("writing %s: %v", format, err)
	}
	return out.String()
}

// onDisk exports to a file for a reader that is another program.
func onDisk(t testing.TB, format string, s Source) string {
	t.Helper()
	f, _ := Named(format)
	path := filepath.Join(t.TempDir(), "property"+f.Extension)
	if err := os.WriteFile(path, []byte(write(t, format, s)), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// land is an invented property: every kind, and every sort of value and of geometry that an
// export must carry.
func land(t testing.TB) []model.Feature {
	t.Helper()
	sha := strings.Repeat("0123456789abcdef", 4)
	var all []model.Feature
	for i, kind := range model.Kinds {
		values := map[string]any{"kind": kind.Name}
		for j, field := range kind.AllFields() {
			if (i+j)%5 == 4 && !field.Required {
				continue // some are unknown
			}
			switch field.Type {
			case model.Text:
				if field.Name != "kind" {
					values[field.Name] = fmt.Sprintf("%s of %s", field.Label, kind.Label)
				}
			case model.Number:
				values[field.Name] = math.Round(1000*(field.Min+(field.Max-field.Min)*float64(i+1)/97)) / 1000
			case model.Integer:
				values[field.Name] = i + 1
			case model.YesNo:
				values[field.Name] = i%2 == 0
			case model.Date:
				values[field.Name] = fmt.Sprintf("2026-%02d-%02d", 1+j%12, 1+i%28)
			case model.Instant:
				values[field.Name] = "2026-05-01T09:30:00+10:00"
			case model.Choice:
				values[field.Name] = field.Choices[i%len(field.Choices)]
			case model.Reference:
				values[field.Name] = "thalweg-1"
			case model.Photos:
				values[field.Name] = []string{sha}
			case model.Numbers:
				values[field.Name] = []any{212.5, nil, 213}
			case model.LevelRows:
				values[field.Name] = []map[string]any{{"point": "BM <1>", "bs": 1.435, "knownLevelM": 100}, {"point": "peg", "fs": 1.62}}
			case model.RateRows:
				values[field.Name] = []map[string]any{{"item": "rock", "unit": "m3", "costPerUnit": 85, "hoursPerUnit": 0.4}}
			case model.RainRows:
				values[field.Name] = []map[string]any{{"minutes": 5, "intensityMmH": 150}, {"minutes": 10, "intensityMmH": 110.5}}
			case model.SpacingRows:
				values[field.Name] = []map[string]any{{"upToPct": 4, "spacingM": 60}, {"upToPct": 6, "spacingM": 33}}
			}
		}
		values["sensitive"] = kind.Name == "cover-plot"
		lon, lat := 133.2+0.001*float64(i), -16.1-0.0007*float64(i)
		all = append(all, model.Feature{
			ID: fmt.Sprintf("%s-1", kind.Name), Kind: kind.Name,
			Geometry: drawn(kind.Shapes[0], lon, lat), Fields: texts(t, values),
		})
	}
	return append(all, odd(t)...)
}

func drawn(shape model.Shape, lon, lat float64) orb.Geometry {
	switch shape {
	case model.PointShape:
		return orb.Point{lon, lat}
	case model.LineShape:
		return orb.LineString{{lon, lat}, {lon + 0.00031234567, lat + 0.0002}, {lon + 0.0006, lat + 0.00012345678}}
	case model.AreaShape:
		return orb.Polygon{
			{{lon, lat}, {lon + 0.0009, lat}, {lon + 0.0009, lat + 0.0009}, {lon, lat + 0.0009}, {lon, lat}},
			{{lon + 0.0003, lat + 0.0003}, {lon + 0.0003, lat + 0.0006}, {lon + 0.0006, lat + 0.0006}, {lon + 0.0003, lat + 0.0003}},
		}
	}
	return nil
}

// odd is what a real register holds beside the plain cases.
func odd(t testing.TB) []model.Feature {
	square := func(lon, lat float64) orb.Polygon {
		return orb.Polygon{{{lon, lat}, {lon + 0.001, lat}, {lon + 0.001, lat + 0.001}, {lon, lat + 0.001}, {lon, lat}}}
	}
	return []model.Feature{
		{ID: "multi-point", Kind: "peg", Geometry: orb.MultiPoint{{133.3, -16.2}, {133.3001, -16.2001}}, Fields: texts(t, map[string]any{"name": "two pegs"})},
		{ID: "multi-line", Kind: "rip-line", Geometry: orb.MultiLineString{{{133.3, -16.2}, {133.31, -16.2}}, {{133.3, -16.21}, {133.31, -16.21}}}, Fields: texts(t, map[string]any{"status": "built", "depthM": 0.4, "betweenBanks": true})},
		{ID: "multi-area", Kind: "scald", Geometry: orb.MultiPolygon{square(133.3, -16.2), square(133.31, -16.2)}, Fields: texts(t, map[string]any{"coverPct": 12})},
		{ID: "collection", Kind: "hazard", Geometry: orb.Collection{orb.Point{133.3, -16.2}, orb.LineString{{133.3, -16.2}, {133.31, -16.2}}}, Fields: texts(t, map[string]any{"danger": "undercut bank & old wire"})},
		{ID: "line-over-180", Kind: "fence", Geometry: orb.LineString{{179.9995, -16.5}, {-179.9995, -16.5}}, Fields: texts(t, map[string]any{"name": "over the antimeridian"})},
		{ID: "no-kind", Kind: "", Geometry: orb.Point{133.3, -16.3}, Fields: texts(t, map[string]any{"notes": "marked in passing"})},
		{ID: "newer-kind", Kind: "silt trap α", Geometry: orb.Point{133.3, -16.3}, Fields: texts(t, map[string]any{"volumeM3": 3.25, "lined": true, "crew": "two", "parts": []any{"weir", 2}})},
		{ID: "hostile", Kind: "gully-head", Geometry: orb.Point{133.3, -16.3}, Fields: texts(t, map[string]any{
			"name": "]]> <script>alert(\"1\")</script> & 'q'", "notes": "nul \x00, bell \a, emoji 🪨, שלום عربي, line\nbreak\r\nand tab\t\uFFFE.", "headDepthM": 1.6})},
		{ID: "wrong-types", Kind: "gully-head", Fields: texts(t, map[string]any{"headDepthM": "deep", "active": "yes", "observedOn": "0000-00-00", "row": 2.5, "photos": "none", "Notes": "upper case"})},
	}
}

// pegs is any number of points with what a phone records of each.
func pegs(n int) iter.Seq2[model.Feature, error] {
	return func(yield func(model.Feature, error) bool) {
		for i := range n {
			if !yield(peg(i), nil) {
				return
			}
		}
	}
}

func peg(i int) model.Feature {
	return model.Feature{
		ID: fmt.Sprintf("peg-%d", i), Kind: "peg",
		Geometry: orb.Point{133.2 + float64(i%1000)*1.00001e-5, -16.1 - float64(i/1000)*1.00001e-5},
		Fields:   map[string]json.RawMessage{"name": fmt.Appendf(nil, `"peg %d"`, i), "accuracyM": []byte("4.5")},
	}
}

// measured gives every figure that a kind may have a value made from the feature's id: the
// arithmetic is not on trial here, what becomes of figures is.
type measured struct{}

func (measured) Of(f model.Feature) (sheet figures.Sheet) {
	for i, c := range figures.Columns(f.Kind) {
		figure := model.Figure{Name: c.Name, Label: c.Label, Unit: c.Unit, Value: 100.00000000000003*float64(len(f.ID)) + 0.25*float64(i), PlusMinus: new(0.31 * float64(i+1)), Basis: model.Bases[i%len(model.Bases)]}
		switch len(f.ID) % 4 {
		case 1:
			figure.PlusMinus = nil // could not be worked out
		case 2:
			figure.Value = 12
		}
		sheet.Figures = append(sheet.Figures, figure)
	}
	if f.Kind == "check-dam" {
		sheet.Checks = []model.Check{{Name: "dam-check", Verdict: model.Fails, Text: "The crest is 0.18 m below the toe upstream: a gap.", Rule: "invented"}}
		sheet.Cautions = []model.Caution{{About: "chainageM", Text: "Works in a watercourse may need a permit."}, {Text: "Keep <off> the rim."}}
	}
	return sheet
}

// figuresOf surveys features as the server does.
func figuresOf(features iter.Seq2[model.Feature, error]) Figures {
	return figures.Survey(func(yield func(model.Feature) bool) {
		for f := range features {
			if !yield(f) {
				return
			}
		}
	})
}
