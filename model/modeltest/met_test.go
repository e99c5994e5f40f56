package modeltest

import (
	"encoding/csv"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Reasons that several topics of grazing share.
const (
	animals  = "animals come by the ratings of a named table with its own intake, or as the officer rates them: no unit is made into another"
	capacity = "a budget of the feed that stands claims no carrying capacity over years"
	reach    = "the officer says how many hectares lie out of reach, by what the stock do there"
)

// unmet are topics of the reference files that nothing in Headcut computes, and why.
var unmet = map[string]string{
	"even_spacing":     "dams go where the surveyed bed asks for them, not at even steps",
	"effective_height": "crest heights are entered as levelled, foundation not counted",
	"convert_in_to_m":  "a conversion", "horizontal_from_slope": "chainages are horizontal",
	"design_number": "an index of spacing that no officer uses", "cutting_above_ground": "lengths of cuttings are not worked out",
	"volume_from_length": "a regression of other gullies, with large scatter: sections are asked for",
	"power_law":          "a regression with large scatter", "ratio": "printed results of trials", "reduced": "printed results of a trial", "headcut_scs": "a regression with large scatter",
	"headcut_thompson": "a regression with large scatter",
	"orifice":          "no flow through a porous dam is claimed",
	"two_peg":          "the instrument's own test is not offered", "reciprocal_levelling": "no sights of that length are taken in a gully",
	"laser_direct_reading_staff": "readings are booked as on any staff", "stadia_distance": "distances are taped",
	"vi_hudson": "two texts differ 2.2 times: left out until the handbook is opened", "hi_hudson": "as vi_hudson",
	"retardance_n":  "the curve is from memory: Manning's roughness is asked for, once for capacity and once for velocity",
	"parabola_area": "banks are built with straight faces",
	"hoop_area":     "frames are given by their area", "green_to_air_dry": "cuts are dried and weighed again, never dried by a table", "comparative_yield": "quadrats are cut, or read off photo standards, and not scored",
	"bodyweight_intake": animals, "wet_intake": animals, "per_day": animals, "reciprocal": animals, "product": animals, "unit_ratio": animals, "au_metabolic": animals, "au_linear": animals,
	"au_from_intake": animals, "added_au": animals, "herd_month_demand": animals, "aum": animals, "aum_weight": animals,
	"condition_factor": capacity, "condition_factor_2007": capacity, "condition_mix": capacity, "condition_weighted": capacity, "cap_above_ltcc": capacity, "lcc_colorado": capacity, "area_for_herd": capacity, "stock_units": capacity,
	"slope_factor": reach, "water_factor": reach, "watered_circle": reach,
	"stepped_square":   "feed is cut or read off photo standards, and not stepped out",
	"geoid_separation": "GPS heights are never levels", "point_average": "fixes are averaged where they are taken, by accuracy",
}

// leastIndependent is how many cases of others' making the computations must meet: those
// published, and those computed with another's program.
const leastIndependent = 150

// TestEveryCaseIsMet finds for each row of testdata/reference a test that asks for its
// topic or its id, so that a case that nobody meets cannot pass for one that holds.
func TestEveryCaseIsMet(t *testing.T) {
	asked := map[string]bool{} // topics and ids
	err := filepath.WalkDir(filepath.Dir(Root(t)), func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "node_modules" || d.Name() == ".git"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(path, "_test.go"):
			return nil
		}
		return askedIn(path, asked)
	})
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(Root(t), "reference", "*.csv"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no reference files: %v", err)
	}
	independent, derived := 0, 0
	for _, path := range files {
		file := strings.TrimSuffix(filepath.Base(path), ".csv")
		for _, c := range Cases(t, file) {
			if !asked[c.Topic] && !asked[c.ID] {
				if unmet[c.Topic] == "" {
					t.Errorf("%s %s (%s) is met by no test", file, c.ID, c.Topic)
				}
				continue
			}
			if c.Origin == "derived_by_hand" {
				derived++
			} else {
				independent++
			}
		}
	}
	t.Logf("%d independent cases and %d worked by hand are met", independent, derived)
	if independent < leastIndependent {
		t.Errorf("%d independent cases are met, want at least %d", independent, leastIndependent)
	}
}

// askedIn adds the words of a test file that calls Cases or Named: ids and topics are like
// no other words, and a loop over ids names them apart from the call.
func askedIn(path string, asked map[string]bool) error {
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	if err != nil {
		return err
	}
	asks := false
	var words []string
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			asks = asks || n.Sel.Name == "Cases" || n.Sel.Name == "Named"
		case *ast.BasicLit:
			if text, err := strconv.Unquote(n.Value); err == nil && n.Kind == token.STRING {
				words = append(words, text)
			}
		}
		return true
	})
	if asks && !strings.HasSuffix(path, "met_test.go") {
		for _, word := range words {
			asked[word] = true
		}
	}
	return nil
}

// Every row names who published it and where, and how it reached us.
func TestEveryCaseHasASource(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(Root(t), "reference", "*.csv"))
	for _, path := range files {
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(f).ReadAll()
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		ids := map[string]bool{}
		for i, row := range rows[1:] {
			if row[5] == "" || row[6] == "" || !slices.Contains([]string{"looked_up", "from_memory", "computed_with", "derived_by_hand"}, row[7]) {
				t.Errorf("%s, row %d: source %q, place %q, origin %q", filepath.Base(path), i+2, row[5], row[6], row[7])
			}
			if ids[row[0]] {
				t.Errorf("%s, row %d: the id %s is there twice", filepath.Base(path), i+2, row[0])
			}
			ids[row[0]] = true
		}
	}
}
