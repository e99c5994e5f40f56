package intake

import (
	"encoding/json"
	"strings"
	"testing"

	"headcut/model"
)

func number(v float64) *float64 { return &v }

// TestLevelColumns: the headings books have, whichever columns they use.
func TestLevelColumns(t *testing.T) {
	tests := []struct {
		name, text string
		want       []model.LevelRow
		reports    int
	}{
		{"short-headings", "Stn,B.S.,I.S.,F.S.,Dist (m),Remarks\nA,1.5,,,0,start\nB,,1.25,,10,\nC,,,.5,20,end\n", []model.LevelRow{
			{Point: "A", BS: number(1.5), DistanceM: number(0), Remark: "start"}, {Point: "B", IS: number(1.25), DistanceM: number(10)},
			{Point: "C", FS: number(0.5), DistanceM: number(20), Remark: "end"}}, 0},
		{"least-columns-in-any-order", "FS,Point,Back Sight\n,A,1.5\n1.25,B,\n", []model.LevelRow{{Point: "A", BS: number(1.5)}, {Point: "B", FS: number(1.25)}}, 0},
		{"where-the-staff-stood", "point,bs,is,fs,known level,inverted,struck,feature,spot,chainage_m\nBM,1,,,100,,,,mark,\nbed,,2,,,,,lantern,BED,7.5\nroof,,0.5,,,yes,,,,\nslip,,9,,,,x,,,\nBM,,,1,100.002,no,,,,\n", []model.LevelRow{
			{Point: "BM", BS: number(1), KnownLevelM: number(100), Spot: model.MarkSpot},
			{Point: "bed", IS: number(2), Feature: "lantern", Spot: model.BedSpot, ChainageM: number(7.5)},
			{Point: "roof", IS: number(0.5), Inverted: true}, {Point: "slip", IS: number(9), Struck: true},
			{Point: "BM", FS: number(1), KnownLevelM: number(100.002)}}, 0},
		{"results-left-out", "station,bs,fs,rise,fall,RL\nA,1,,,,100\nB,,1.5,,0.5,99.5\n", []model.LevelRow{{Point: "A", BS: number(1)}, {Point: "B", FS: number(1.5)}}, 3},
		{"other-column-left-out", "station,bs,fs,weather,\nA,1,,hot,\n", []model.LevelRow{{Point: "A", BS: number(1)}}, 2},
		{"rows-of-nothing", "station,bs,fs\nA,1,\n,,\n\nB,,2\n", []model.LevelRow{{Point: "A", BS: number(1)}, {Point: "B", FS: number(2)}}, 1},
		{"no-reading-and-no-name", "station,bs,fs\nA,,\n,1,\n", []model.LevelRow{{Point: "A"}, {BS: number(1)}}, 3},
		{"unknown-spot", "station,bs,fs,spot\nA,1,,elbow\n", []model.LevelRow{{Point: "A", BS: number(1)}}, 1},
		{"numbers-at-their-limits", "station,bs,fs,known_level_m,distance_m,chainage_m\nA,-100,,12000,1000000,-1000000\n",
			[]model.LevelRow{{Point: "A", BS: number(-100), KnownLevelM: number(12000), DistanceM: number(1e6), ChainageM: number(-1e6)}}, 1},
		{"cross-section", "point,bs,is,fs,feature,spot,chainage_m,offset_m\nBM,1,,,,,,\nl,,2,,x,section,,-2.50\nb,,2.5,,g,bed,40,\nm,,2.5,,x,section,,0\nr,,2,,g,Section,40,3.1 R\nq,,2,,g,section,40,L3\nn,,2,,g,section,40,left 0\no,,2,,g,section,40,\nBM,,,1,,,,\n", []model.LevelRow{
			{Point: "BM", BS: number(1)}, {Point: "l", IS: number(2), Feature: "x", Spot: model.SectionSpot, OffsetM: number(-2.5)},
			{Point: "b", IS: number(2.5), Feature: "g", Spot: model.BedSpot, ChainageM: number(40)},
			{Point: "m", IS: number(2.5), Feature: "x", Spot: model.SectionSpot, OffsetM: number(0)},
			{Point: "r", IS: number(2), Feature: "g", Spot: model.SectionSpot, ChainageM: number(40), OffsetM: number(3.1)},
			{Point: "q", IS: number(2), Feature: "g", Spot: model.SectionSpot, ChainageM: number(40), OffsetM: number(-3)},
			{Point: "n", IS: number(2), Feature: "g", Spot: model.SectionSpot, ChainageM: number(40), OffsetM: number(0)},
			{Point: "o", IS: number(2), Feature: "g", Spot: model.SectionSpot, ChainageM: number(40)},
			{Point: "BM", FS: number(1)}}, 1},
		{"offsets-of-something-else", "station,bs,fs,offset\nA,1,,near\nB,,2,4000\n", []model.LevelRow{{Point: "A", BS: number(1)}, {Point: "B", FS: number(2)}}, 1},
		{"tabs", "station\tbs\tfs\nA\t1.5\t\n", []model.LevelRow{{Point: "A", BS: number(1.5)}}, 0},
		{"semicolons-with-points", "station;bs;fs\nA;1.5;\n", []model.LevelRow{{Point: "A", BS: number(1.5)}}, 0},
		{"semicolons-with-commas", "station;bs;fs\nA;1,5;\n", []model.LevelRow{{Point: "A", BS: number(1.5)}}, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			file := mustRead(t, test.text)
			checkEntries(t, file)
			want, err := json.Marshal(test.want)
			if err != nil {
				t.Fatal(err)
			}
			if got := string(file.Records[0].Fields["rows"]); got != string(want) {
				t.Errorf("rows are\n%s, want\n%s", got, want)
			}
			if len(file.Report) != test.reports {
				t.Errorf("the report is %v, want %d lines", file.Report, test.reports)
			}
		})
	}
}

// TestLevelBookRefusals: what could be misread refuses the book, by row and column.
func TestLevelBookRefusals(t *testing.T) {
	const head, across = "station,bs,is,fs,distance_m,inverted\n", "station,bs,fs,spot,offset\n"
	tests := []struct {
		name, text string
		line       int
		path, says string
	}{
		{"prose", "went to the gully\n", 1, "", "is neither"},
		{"same-column-twice", "station,bs,backsight,fs\n", 1, "backsight", "same column"},
		{"decimal-comma-in-quotes", head + `A,"1,5",,,,` + "\n", 2, "backsight", "thousand or a decimal"},
		{"exponent", head + "A,1e0,,,,\n", 2, "backsight", "exponent"},
		{"hexadecimal", head + "A,0x1,,,,\n", 2, "backsight", "not a plain number"},
		{"not-a-number", head + "A,NaN,,,,\n", 2, "backsight", "is not a number"},
		{"space-within", head + "A,1 500,,,,\n", 2, "backsight", "not a plain number"},
		{"millimetres", head + "A,1525,,,,\n", 2, "backsight", "beyond 100 m"},
		{"several-cells", head + "A,x,x,x,x,perhaps\n", 2, "backsight", "not a number"},
		{"several-cells-but-the-first", head + "A,1,x,x,x,perhaps\n", 2, "intermediate", "not a number"},
		{"a-metre-too-much", "station,bs,fs,chainage,inverted\nA,1,,1000000.1,perhaps\n", 2, "chainage", "beyond 1000000 m"},
		{"a-metre-too-low", "station,bs,fs,known_level_m\nA,1,,-12000.1\n", 2, "knownlevel", "beyond 12000 m"},
		{"struck-perhaps", "station,bs,fs,struck\nA,1,,maybe\n", 2, "struck", "neither yes nor no"},
		{"backsight-and-intermediate", head + "A,1,2,,,\n", 2, "intermediate", "intermediate and a backsight"},
		{"inverted-perhaps", head + "A,1,,,,perhaps\n", 2, "inverted", "neither yes nor no"},
		{"after-a-long-remark", "station,bs,fs,remark\nA,1,,\"two\nlines\"\nB,,x,\n", 4, "foresight", "row 3"},
		{"both-decimal-marks", "station;bs;fs\nA;1.5;\nB;;1,5\n", 1, "", "point and with a comma"},
		{"thousands-in-semicolons", "station;bs;fs;distance\nA;1,5;;1.000,5\n", 2, "distance", "several marks"},
		{"offset-on-the-bed", across + "A,1,,,\nB,,,bed,2\nC,,,section,2\nD,,1,,\n", 3, "offset", "the row's spot is not section"},
		{"offset-with-both", across + "A,1,,,\nB,,,section,-2 L\n", 3, "offset", "both a minus and a side"},
		{"offset-too-far", across + "A,1,,,\nB,,,section,500.1\n", 3, "offset", "beyond 500 m"},
		{"offset-of-a-side", across + "A,1,,,\nB,,,section,R\n", 3, "offset", "not a number"},
		{"open-quote", head + "A,1,,,,\"\n", 2, "", "quotation mark"},
		{"not-utf8", head + "caf\xe9,1,,,,\n", 2, "", "byte 41 is not UTF-8"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := Read("book", strings.NewReader(test.text))
			p, ok := err.(*model.Problem)
			if !ok || p.Line != test.line || p.Path != test.path || !strings.Contains(p.Reason, test.says) {
				t.Errorf("error %v, want one of line %d about %q that says %q", err, test.line, test.path, test.says)
			}
		})
	}
}
