package compute

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"
	"testing"

	"headcut/model"
)

// Inputs of the computations about levels, as officers give them. They are seeds of the
// fuzz targets too.
var levelSeeds = map[string][]string{
	"level-run": {
		`{"rows":[{"point":"BM","bs":1.505,"knownLevelM":100,"distanceM":0},{"point":"P1","bs":2.31,"fs":0.842,"distanceM":80},{"point":"P2","bs":0.915,"fs":1.127,"distanceM":190},{"point":"P3","bs":0.65,"fs":2.404,"distanceM":310},{"point":"BM","fs":1.019,"knownLevelM":100,"distanceM":400}],"tolerance":{"perRootKmMm":12},"adjust":true}`,
		`{"rows":[{"point":"A","bs":1,"knownLevelM":10},{"point":"roof","is":2.5,"inverted":true},{"point":"slip","is":9,"struck":true},{"point":"B","fs":0.5,"knownLevelM":10.502}]}`,
		`{"rows":[{"bs":1.1,"knownLevelM":100},{"bs":1.35,"fs":2.9,"bookedLevelM":98.21},{"fs":1.25,"knownLevelM":98.3}],"staffLengthM":4,"readingPlusMinusMm":1,"adjust":false}`,
	},
	"staff-reading": {
		`{"instrumentLevelM":8.581,"targetLevelM":8}`,
		`{"instrumentLevelM":51.842,"targetLevelM":50.407,"readM":1.62,"staffLengthM":3}`,
	},
	"contour-check": {
		`{"pegs":[{"chainageM":0,"levelM":50},{"chainageM":10,"levelM":50},{"name":"third","chainageM":20,"levelM":50.09},{"chainageM":30,"levelM":50}],"toleranceM":0.05}`,
		`{"pegs":[{"chainageM":0,"levelM":50.03},{"chainageM":10,"levelM":49.98},{"chainageM":20,"levelM":50}],"toleranceM":0.05,"gradeTolerancePct":0.3,"basis":"GPS","levelPlusMinusM":0.01}`,
		`{"pegs":[{"chainageM":0,"levelM":50.2},{"chainageM":15,"levelM":50.09},{"chainageM":40,"levelM":49.9},{"chainageM":52,"levelM":50.02}],"toleranceM":0.05,"lipM":0.08,"lipPlusMinusM":0.01,"openEnds":true}`,
	},
}

func TestAnswersAboutLevels(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"level-run", levelSeeds["level-run"][1],
			`{"rows":[{"point":"A","setup":0,"levelM":10,"instrumentLevelM":11,"adjustedLevelM":10,"plusMinusM":0,"basis":"levelled"},` +
				`{"point":"roof","setup":1,"levelM":13.5,"riseM":3.5,"adjustedLevelM":13.502,"plusMinusM":0.00283,"basis":"levelled"},` +
				`{"point":"slip","struck":true,"setup":0},` +
				`{"point":"B","setup":1,"levelM":10.5,"fallM":3,"adjustedLevelM":10.502,"plusMinusM":0.00283,"basis":"levelled"}],` +
				`"sums":{"bs":1,"fs":0.5,"rise":3.5,"fall":3},"arithmeticOK":true,"setups":1,"misclosureM":-0.002,"allowableM":0.005,"closed":true,"unfinished":false,` +
				`"closedToRow":4,"closures":[{"row":4,"setups":1,"misclosureM":-0.002,"allowableM":0.005,"closed":true}],"adjustedBy":"set-ups","basis":"levelled","reasons":[],` +
				`"cautions":[{"about":"levelM","text":"A run that closes can still hide a staff misread on an intermediate sight: nothing depends on it, so nothing checks it."}]}`},
		{"level-run", `{"rows":[{"bs":1,"knownLevelM":10},{"fs":2}]}`,
			`{"rows":[{"setup":0,"levelM":10,"instrumentLevelM":11,"plusMinusM":0,"basis":"unproven"},` +
				`{"setup":1,"levelM":9,"fallM":1,"plusMinusM":0.00283,"basis":"unproven"}],` +
				`"sums":{"bs":1,"fs":2,"rise":0,"fall":1},"arithmeticOK":true,"setups":1,"closed":false,"unfinished":true,"closures":[],"adjustedBy":"none","basis":"unproven",` +
				`"reasons":["The run never closes on a known level; if it ends where it started, give the level there too."],"cautions":[]}`},
		{"staff-reading", levelSeeds["staff-reading"][1],
			`{"readingM":1.435,"levelM":50.222,"offM":-0.185,"move":"move to ground 0.185 m higher"}`},
		{"contour-check", levelSeeds["contour-check"][0],
			`{"meanLevelM":50.0225,"plusMinusM":0.00141,"worst":{"peg":3,"name":"third","offM":0.0675,"plusMinusM":0.00245},"offsM":[-0.0225,-0.0225,0.0675,-0.0225],` +
				`"gradesPct":[0,0.9,-0.9],"gradesPlusMinusPct":[0.04,0.04,0.04],"lowPoints":[],"drainsTo":"both ends","verdict":"fails","basis":"levelled",` +
				`"reasons":["Peg third is 0.068 m high: move it downhill."],` +
				`"reaches":[{"fromM":18.056,"fromPlusMinusM":0.208,"toM":21.944,"toPlusMinusM":0.208,"offM":0.0675,"plusMinusM":0.00245,"worstPeg":3,"worstName":"third","sure":true,` +
				`"waterRuns":"both ways","drainsToPegs":[1,4],"text":"From 18.1 to 21.9 m the line runs up to 0.068 m above the contour (peg third): water runs both ways, to peg 1 and peg 4."}],` +
				`"cautions":` + contourCautionsJSON + `}`},
	}
	for _, test := range tests {
		got, err := Run(test.name, []byte(test.in))
		if err != nil || string(got) != test.want {
			t.Errorf("Run(%s, %s)\n got %s, %v\nwant %s", test.name, test.in, got, err, test.want)
		}
	}
}

func TestAdjustIsAChoice(t *testing.T) {
	const good, bad = `{"rows":[{"bs":1,"knownLevelM":10},{"fs":1,"knownLevelM":10.001}]`, `{"rows":[{"bs":1,"knownLevelM":10},{"fs":1,"knownLevelM":10.1}]`
	for in, want := range map[string]string{
		good + `}`: "set-ups", good + `,"adjust":true}`: "set-ups", good + `,"adjust":false}`: "none",
		bad + `}`: "none", bad + `,"adjust":true}`: "set-ups", bad + `,"adjust":false}`: "none",
	} {
		got, err := Run("level-run", []byte(in))
		if err != nil || !bytes.Contains(got, []byte(`"adjustedBy":"`+want+`"`)) {
			t.Errorf("Run(level-run, %s) = %s, %v, want it adjusted by %s", in, got, err, want)
		}
	}
}

func TestFaultsAboutLevels(t *testing.T) {
	tests := []struct{ name, in, path string }{
		{"level-run", `{}`, "rows"},
		{"level-run", `{"rows":[]}`, "rows"},
		{"level-run", `{"rows":[{"bs":1.5,"knownLevelM":1},{"fs":1216}]}`, "rows[1].fs"},
		{"level-run", `{"rows":[{"bs":"1.5"}]}`, "rows[0].bs"},
		{"level-run", `{"rows":[{"backsight":1.5}]}`, "rows[0].backsight"},
		{"level-run", `{"rows":[],"tolerance":{"perRootKmMm":0}}`, "tolerance.perRootKmMm"},
		{"level-run", `{"rows":[],"tolerance":{"perRootSetupMm":-5}}`, "tolerance.perRootSetupMm"},
		{"level-run", `{"rows":[],"staffLengthM":0}`, "staffLengthM"},
		{"level-run", `{"rows":[],"adjust":"set-ups"}`, "adjust"},
		{"staff-reading", `{"instrumentLevelM":8,"targetLevelM":9}`, "targetLevelM"},
		{"staff-reading", `{"instrumentLevelM":8}`, "targetLevelM"},
		{"staff-reading", `{"instrumentLevelM":8,"targetLevelM":7,"readM":-1}`, "readM"},
		{"contour-check", `{"pegs":[{"chainageM":0,"levelM":1}],"toleranceM":0.1}`, "pegs"},
		{"contour-check", `{"pegs":[{"chainageM":0,"levelM":1},{"chainageM":0,"levelM":1}],"toleranceM":0.1}`, "pegs[1].chainageM"},
		{"contour-check", `{"pegs":[{"chainageM":0,"levelM":1},{"chainageM":9,"levelM":1}]}`, "toleranceM"},
		{"contour-check", `{"pegs":[],"toleranceM":1,"basis":"gps"}`, "basis"},
	}
	for _, test := range tests {
		got, err := Run(test.name, []byte(test.in))
		if p, ok := errors.AsType[*model.Problem](err); !ok || p.Path != test.path || got != nil {
			t.Errorf("Run(%s, %s) = %s, %v, want a problem at %s", test.name, test.in, got, err, test.path)
		}
	}
}

// anything runs a computation on any bytes: it refuses with a problem, or answers twice
// the same JSON, which cannot hold what is not a number.
func anything(t *testing.T, name string, in []byte) {
	got, err := Run(name, in)
	again, errAgain := Run(name, in)
	if err != nil {
		p, ok := errors.AsType[*model.Problem](err)
		if !ok || p.Reason == "" || got != nil || errAgain == nil || errAgain.Error() != err.Error() {
			t.Fatalf("Run(%s, %q) = %q, %v, then %v", name, in, got, err, errAgain)
		}
		if bytes.Contains([]byte(p.Reason), []byte("finite number")) {
			t.Fatalf("Run(%s, %q): %v: an input led to no number and was not refused by its name", name, in, err)
		}
		return
	}
	if !json.Valid(got) || !bytes.Equal(got, again) {
		t.Fatalf("Run(%s, %q) = %q, then %q", name, in, got, again)
	}
}

func fuzzComputation(f *testing.F, name string) {
	if len(levelSeeds[name]) == 0 {
		f.Fatalf("%s has no seeds", name)
	}
	for _, seed := range levelSeeds[name] {
		if _, err := Run(name, []byte(seed)); err != nil {
			f.Fatalf("seed %s: %v", seed, err)
		}
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, in []byte) { anything(t, name, in) })
}

func FuzzLevelRun(f *testing.F)     { fuzzComputation(f, "level-run") }
func FuzzStaffReading(f *testing.F) { fuzzComputation(f, "staff-reading") }
func FuzzContourCheck(f *testing.F) { fuzzComputation(f, "contour-check") }

// The rows of a stored level run are taken as they are.
func TestLevelRunTakesStoredRows(t *testing.T) {
	var row model.LevelRow
	known := make([]string, 0, 16)
	for _, f := range fieldsOf(levelRun.in) {
		if f.name == "rows" {
			for _, column := range fieldsOf(f.typ.Elem()) {
				known = append(known, column.name)
			}
		}
	}
	v := 1.0
	row = model.LevelRow{Point: "p", BS: &v, IS: &v, FS: &v, KnownLevelM: &v, DistanceM: &v, Inverted: true, Remark: "r", Struck: true,
		BookedLevelM: &v, Feature: "f", Spot: model.BedSpot, ChainageM: &v, OffsetM: &v}
	text, err := json.Marshal(row)
	if err != nil {
		t.Fatal(err)
	}
	var stored map[string]json.RawMessage
	if err := json.Unmarshal(text, &stored); err != nil {
		t.Fatal(err)
	}
	for name := range stored {
		if !slices.Contains(known, name) {
			t.Errorf("a stored row has %q, which level-run does not know", name)
		}
	}
	if len(stored) != len(known) {
		t.Errorf("a stored row has %d columns, level-run %d: %q", len(stored), len(known), known)
	}
}

// contourCautionsJSON are the cautions of every line within its usual tolerance.
const contourCautionsJSON = `[{"about":"gradesPct","text":"With an error e in each level and pegs d apart, a false grade of up to 2e/d shows: 20 mm at 20 m is 0.2 %."},` +
	`{"about":"lowPoints","text":"A low point that breaks over can start a new gully below the line."},` +
	`{"text":"A furrow a few hundredths deep keeps little water once it falls: stops or a tighter tolerance matter more than spacing."}]`
