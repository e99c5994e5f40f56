package intake

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"headcut/model"
)

// Forms of an angle that receivers and people write. Common practice, no source.
func TestDegrees(t *testing.T) {
	tests := []struct {
		name, cell string
		comma      bool
		want       float64
		reason     string // part of it; "" when the angle is read
	}{
		{name: "decimal", cell: "-16.10473", want: -16.10473},
		{name: "plus", cell: "+16.5", want: 16.5},
		{name: "hemisphere-behind", cell: "16.10473 S", want: -16.10473},
		{name: "hemisphere-before", cell: "s16.10473", want: -16.10473},
		{name: "north", cell: "16.1N", want: 16.1},
		{name: "minutes", cell: "16°06.283'S", want: -(16 + 6.283/60)},
		{name: "spaced-minutes", cell: "S 16 06.283", want: -(16 + 6.283/60)},
		{name: "seconds", cell: `16°06'17.0"S`, want: -(16 + 6.0/60 + 17.0/3600)},
		{name: "colons", cell: "-16:06:17", want: -(16 + 6.0/60 + 17.0/3600)},
		{name: "primes", cell: "16º 06′ 17″ S", want: -(16 + 6.0/60 + 17.0/3600)},
		{name: "two-single-quotes", cell: "16°06'17''S", want: -(16 + 6.0/60 + 17.0/3600)},
		{name: "decimal-comma", cell: "-16,10473", comma: true, want: -16.10473},
		{name: "zero-is-not-below-zero", cell: "-0", want: 0},
		{name: "pole", cell: "90", want: 90},
		{name: "empty", cell: "  ", reason: "is empty"},
		{name: "sign-and-hemisphere", cell: "-16.1S", reason: "both a sign and a hemisphere"},
		{name: "east-as-latitude", cell: "16.1E", reason: "is no angle"},
		{name: "sixty-minutes", cell: "16 60", reason: "minutes or seconds that are none"},
		{name: "sixty-seconds", cell: "16 00 60", reason: "minutes or seconds that are none"},
		{name: "decimal-degrees-with-minutes", cell: "16.5 30", reason: "minutes or seconds that are none"},
		{name: "beyond", cell: "90.0001", reason: "is beyond 90 degrees"},
		{name: "comma-in-a-file-of-points", cell: "16,1", reason: "is no angle"},
		{name: "word", cell: "S", reason: "is no angle"},
		{name: "exponent", cell: "1e1", reason: "is no angle"},
		{name: "not-a-number", cell: "NaN", reason: "is no angle"},
		{name: "metres", cell: "8218034", reason: "is no angle"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			p := &csvPoints{csvText: &csvText{comma: test.comma}}
			got, reason := p.degrees(test.cell, "NS", 90)
			if (reason == "") != (test.reason == "") || !strings.Contains(reason, test.reason) {
				t.Fatalf("%q is refused with %q, want %q", test.cell, reason, test.reason)
			}
			if math.Abs(got-test.want) > 6e-10 || got == 0 && math.Signbit(got) {
				t.Errorf("%q is %v, want %v", test.cell, got, test.want)
			}
		})
	}
}

// TestPointsAreReadInEveryForm: a position comes back from each form to what its digits say.
func TestPointsAreReadInEveryForm(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		lat, lon := rapid.Float64Range(-90, 90).Draw(rt, "lat"), rapid.Float64Range(-180, 180).Draw(rt, "lon")
		if math.Abs(lat) < 1e-3 && math.Abs(lon) < 1e-3 {
			return // as receivers write without a fix
		}
		write, nearDeg := decimalDegrees, 6e-10
		if rapid.Bool().Draw(rt, "seconds") {
			write, nearDeg = degreesMinutesSeconds, 0.6e-4/3600+6e-10
		}
		text := "name,lat,lon\nPeg 1," + write(lat, "NS") + "," + write(lon, "EW") + "\n"
		file, err := Read("points", strings.NewReader(text))
		if err != nil || len(file.Records) != 1 || file.Format != Points {
			rt.Fatalf("%s gives %+v, %v", text, file, err)
		}
		g, err := model.ParseGeometry(file.Records[0].Fields["geometry"])
		if at := pointsOf(g); err != nil || len(at) != 1 || math.Abs(at[0].Lat()-lat) > nearDeg || math.Abs(at[0].Lon()-lon) > nearDeg {
			rt.Errorf("%s is read as %v, want %v %v", text, at, lat, lon)
		}
		var kind string
		if _ = json.Unmarshal(file.Records[0].Fields["kind"], &kind); kind != "peg" {
			rt.Errorf("the kind is %q, want peg", kind)
		}
	})
}

func decimalDegrees(v float64, _ string) string { return fmt.Sprintf("%.9f", v) }

// degreesMinutesSeconds writes seconds with four decimals: a position to 3 mm.
func degreesMinutesSeconds(v float64, hemispheres string) string {
	letter := hemispheres[0]
	if v < 0 {
		letter, v = hemispheres[1], -v
	}
	n := int64(math.Round(v * 3600e4))
	return fmt.Sprintf(`"%d°%02d'%02d.%04d""%c"`, n/3600e4, n/60e4%60, n/1e4%60, n%1e4, letter)
}

func FuzzCSVPoints(f *testing.F) {
	fuzzFormat(f, "points",
		"Name,Lat,Long,Kind,Notes\ncheck dam 5,-16.1001,133.2001,,at the fig tree\nBM 2,\"16°06'10.5\"\"S\",\"133°12'01\"\"E\",dam wall,\n",
		"lat;lon;accuracy;date\n-16,1;133,2;4,5;2026-05-01\n;;;\n-16:06:17;133 12;;\n",
		"y,x,time,sym\n1,2,2026-05-01T09:00:00Z,Peg\n0,0,,\n91,2,,\n", "latitude,longitude\n", "lat,lon,lat\n1,2,3\n", "lat,lon,\n1,2,3\n")
}
