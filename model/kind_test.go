package model

import (
	"encoding/json"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// ucum are the units of the Unified Code for Units of Measure that fields may have (from
// memory: metre, millimetre, per cent, degree of angle, hectare, kilogram per hectare, gram, hour, and
// 1 for a plain number).
var ucum = []string{"m", "mm", "m2", "m3", "%", "deg", "har", "kg/har", "g", "t", "h", "1"}

// unitOfSuffix is the unit that a name's end stands for.
var unitOfSuffix = map[string]string{"M": "m", "M2": "m2", "M3": "m3", "Mm": "mm", "Pct": "%", "Deg": "deg", "Ha": "har", "KgHa": "kg/har", "G": "g", "PerRise": "1", "Hours": "h"}

func TestKindsAreDistinctAndWhole(t *testing.T) {
	names, labels, plurals, marks := map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}
	slug := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	for _, k := range Kinds {
		for what, seen := range map[string]map[string]bool{k.Name: names, k.Label: labels, k.Plural: plurals, k.Mark: marks} {
			if what == "" || seen[what] {
				t.Errorf("kind %s: %q is empty or taken by another kind", k.Name, what)
			}
			seen[what] = true
		}
		if !slug.MatchString(k.Name) {
			t.Errorf("kind %q is not lower-case words with dashes", k.Name)
		}
		if len(k.Shapes) == 0 {
			t.Errorf("kind %s has no shape", k.Name)
		}
		for _, s := range k.Shapes {
			if !slices.Contains(Shapes, s) {
				t.Errorf("kind %s has the unknown shape %q", k.Name, s)
			}
		}
		if k.Work && (k.Care == "" || k.What == "") {
			t.Errorf("work %s does not tell the landholder what it is and what to look after", k.Name)
		}
		if got, ok := KindNamed(k.Name); !ok || got.Name != k.Name {
			t.Errorf("KindNamed(%q) = %v, %v", k.Name, got, ok)
		}
	}
	if _, ok := KindNamed("no-such-kind"); ok {
		t.Error(`KindNamed("no-such-kind") finds one`)
	}
}

func TestFieldsOfKinds(t *testing.T) {
	units := map[string]string{}
	for _, k := range Kinds {
		seen := map[string]bool{}
		for _, f := range k.AllFields() {
			at := k.Name + "." + f.Name
			if seen[f.Name] {
				t.Errorf("%s stands twice", at)
			}
			seen[f.Name] = true
			if f.Name == "" || f.Label == "" || !slices.Contains(FieldTypes, f.Type) {
				t.Errorf("%s lacks a name, a label or a known type: %+v", at, f)
			}
			measured := f.Type == Number || f.Type == Integer || f.Type == Numbers
			if measured != (f.Unit != "") || measured && !slices.Contains(ucum, f.Unit) {
				t.Errorf("%s has the unit %q", at, f.Unit)
			}
			if want, ok := unitOfSuffix[suffix(f.Name)]; measured && (!ok && f.Unit != "1" || ok && want != f.Unit) {
				t.Errorf("%s is in %q, which its name does not say", at, f.Unit)
			}
			if other, ok := units[f.Name]; ok && other != f.Unit {
				t.Errorf("%s is in %q here and in %q elsewhere", at, f.Unit, other)
			}
			units[f.Name] = f.Unit
			if (f.Type == Number || f.Type == Integer) && !(f.Min < f.Max) {
				t.Errorf("%s has no bounds: %v to %v", at, f.Min, f.Max)
			}
			if (f.Type == Choice) != (len(f.Choices) > 0) {
				t.Errorf("%s is a %s with the choices %q", at, f.Type, f.Choices)
			}
			if got, ok := k.FieldNamed(f.Name); !ok || got.Label != f.Label {
				t.Errorf("FieldNamed of %s = %+v, %v", at, got, ok)
			}
		}
		if _, ok := k.FieldNamed("noSuchField"); ok {
			t.Errorf("%s has a field noSuchField", k.Name)
		}
		if k.Work {
			for _, s := range Statuses {
				if f, ok := k.FieldNamed(s.DateField()); !ok || f.Type != Date {
					t.Errorf("work %s has no date %s", k.Name, s.DateField())
				}
			}
		}
	}
}

// suffix is the unit part of a name: its longest ending that unitOfSuffix knows and that
// starts a word.
func suffix(name string) string {
	for i, r := range name {
		if _, ok := unitOfSuffix[name[i:]]; ok && unicode.IsUpper(r) && i > 0 {
			return name[i:]
		}
	}
	return ""
}

// TestColoursAreReadable holds each colour to 4.5:1 on white, by the contrast ratio of WCAG
// 2.1, success criterion 1.4.3 and its definitions of contrast ratio and relative luminance
// (from memory). Black is 21:1 and #767676 is the lightest grey that passes.
func TestColoursAreReadable(t *testing.T) {
	for colour, want := range map[string]float64{"#000000": 21, "#ffffff": 1, "#767676": 4.54} {
		if got := contrast(t, colour); math.Abs(got-want) > 0.005 {
			t.Fatalf("contrast of %s on white = %v, want %v", colour, got, want)
		}
	}
	for _, k := range Kinds {
		if got := contrast(t, k.Colour); got < 4.5 {
			t.Errorf("%s: %s has a contrast of %.2f on white, want 4.5", k.Name, k.Colour, got)
		}
	}
}

func contrast(t *testing.T, colour string) float64 {
	t.Helper()
	if !regexp.MustCompile(`^#[0-9a-f]{6}$`).MatchString(colour) {
		t.Fatalf("%q is not a colour like #37546b", colour)
	}
	luminance := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, err := strconv.ParseUint(colour[1+2*i:3+2*i], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c := float64(v) / 255
		if c <= 0.03928 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		luminance += weight * c
	}
	return 1.05 / (luminance + 0.05)
}

// TestMarksAreDrawable walks each mark as an SVG path: only commands that SVG 1.1, section
// 8.3 has (from memory), the right count of numbers after each, and points that stay in the
// box of 24 by 24.
func TestMarksAreDrawable(t *testing.T) {
	for _, bad := range []string{"", "L1 1", "M1", "M1 1L2", "M1 1X2 2", "M30 1", "M1 1l40 0"} {
		if fault := pathFault(bad); fault == "" {
			t.Fatalf("path %q passes", bad)
		}
	}
	for _, k := range Kinds {
		if fault := pathFault(k.Mark); fault != "" {
			t.Errorf("mark of %s, %q: %s", k.Name, k.Mark, fault)
		}
	}
}

func pathFault(path string) string {
	takes := map[rune]int{'m': 2, 'l': 2, 'h': 1, 'v': 1, 'c': 6, 's': 4, 'q': 4, 't': 2, 'a': 7, 'z': 0}
	token := regexp.MustCompile(`[A-Za-z]|[-+]?(?:\d+\.?\d*|\.\d+)|[\s,]+|.`)
	if !strings.HasPrefix(path, "M") {
		return "does not start with M"
	}
	var command rune
	var numbers []float64
	var x, y, startX, startY float64
	drawn := 0
	finish := func() string {
		n := takes[unicode.ToLower(command)]
		if n == 0 && len(numbers) > 0 || n > 0 && (len(numbers) == 0 || len(numbers)%n != 0) {
			return string(command) + " has " + strconv.Itoa(len(numbers)) + " numbers"
		}
		relative := unicode.IsLower(command)
		for i := 0; n > 0 && i < len(numbers); i += n {
			last := numbers[i : i+n]
			nx, ny := x, y
			switch unicode.ToLower(command) {
			case 'h':
				nx = last[0]
				if relative {
					nx += x
				}
			case 'v':
				ny = last[0]
				if relative {
					ny += y
				}
			default:
				nx, ny = last[n-2], last[n-1]
				if relative {
					nx, ny = nx+x, ny+y
				}
			}
			x, y = nx, ny
			if x < 0 || x > 24 || y < 0 || y > 24 {
				return "leaves the box"
			}
			if unicode.ToLower(command) == 'm' && i == 0 {
				startX, startY = x, y
			} else {
				drawn++
			}
		}
		if unicode.ToLower(command) == 'z' {
			x, y = startX, startY
		}
		return ""
	}
	for _, word := range token.FindAllString(path, -1) {
		first := rune(word[0])
		switch {
		case strings.TrimSpace(strings.Trim(word, ",")) == "":
		case unicode.IsLetter(first):
			if _, ok := takes[unicode.ToLower(first)]; !ok {
				return "has the unknown command " + word
			}
			if command != 0 {
				if fault := finish(); fault != "" {
					return fault
				}
			}
			command, numbers = first, nil
		default:
			v, err := strconv.ParseFloat(word, 64)
			if err != nil {
				return "has " + strconv.Quote(word)
			}
			numbers = append(numbers, v)
		}
	}
	if fault := finish(); fault != "" {
		return fault
	}
	if drawn == 0 {
		return "draws nothing"
	}
	return ""
}

func TestCheckFields(t *testing.T) {
	set := map[string]json.RawMessage{
		"headDepthM": json.RawMessage(`-1`), "name": json.RawMessage(`5`), "active": json.RawMessage(`null`),
		"fromANewerProgram": json.RawMessage(`{"any":"thing"}`), "status": json.RawMessage(`"half built"`),
	}
	tests := []struct {
		kind string
		want []string
	}{
		{"gully-head", []string{"name", "headDepthM"}},
		{"check-dam", []string{"name", "status"}},
		{"no-such-kind", []string{"name"}},
		{"", []string{"name"}},
	}
	for _, test := range tests {
		var got []string
		for _, p := range CheckFields(test.kind, FieldValuesOf(set)) {
			got = append(got, p.Path)
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("CheckFields(%q) finds fault with %q, want %q", test.kind, got, test.want)
		}
	}
	if got := CheckFields("gully-head", nil); got != nil {
		t.Errorf("CheckFields of nothing = %v", got)
	}
}

// A basis belongs to the one value that names it, in every kind alike, and what tells of a place to the place.
func TestWhatBelongsToAValue(t *testing.T) {
	want := map[string]string{"accuracyM": "geometry", "gpsHeightM": "geometry", "gpsHeightsM": "geometry", "receiver": "geometry", "drawnThrough": "geometry",
		"geometry": "geometry", "name": "name", "of no kind": "of no kind", "": ""}
	for field, value := range want {
		if got := BelongsTo(field); got != value {
			t.Errorf("%s belongs to %q, want %q", field, got, value)
		}
	}
	for i := range Kinds {
		for _, f := range Kinds[i].AllFields() {
			if f.Basis != "" && BelongsTo(f.Basis) != f.Name {
				t.Errorf("%s: %s is the basis of %s and of %s", Kinds[i].Name, f.Basis, f.Name, BelongsTo(f.Basis))
			}
		}
	}
}
