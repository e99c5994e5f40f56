package demo

import (
	"encoding/xml"
	"fmt"
	"strings"

	"headcut/model/geodesy"
)

// HandedIn are the files that came in on paper and on a handheld: their names and what is
// in them. The officer's handheld marked three scalds and walked a cattle pad; the level
// book is of the fence track.
func HandedIn() map[string]string {
	return map[string]string{"handheld.gpx": handheld(), "fence-track-levels.csv": fenceBook()}
}

func handheld() string {
	var b strings.Builder
	b.WriteString(xml.Header + `<gpx version="1.1" creator="handheld" xmlns="http://www.topografix.com/GPX/1/1">` + "\n")
	for i, name := range []string{"bare patch A", "bare patch B", "old breached bank"} {
		p := at(-320-40*float64(i), 60+30*float64(i))
		fmt.Fprintf(&b, `<wpt lat="%.7f" lon="%.7f"><ele>%.1f</ele><time>2026-05-13T0%d:12:00Z</time><name>%s</name></wpt>`+"\n", p[1], p[0], 311.4+float64(i), i, name)
	}
	b.WriteString("<trk><name>cattle pad</name>")
	for segment := range 2 { // the fix was lost under the trees between the two
		b.WriteString("<trkseg>")
		for i := range 9 {
			p := geodesy.Destination(at(-300, -60-90*float64(segment)), 190+4*float64(i%3), 9*float64(i))
			fmt.Fprintf(&b, `<trkpt lat="%.7f" lon="%.7f"><time>2026-05-13T03:%02d:00Z</time></trkpt>`, p[1], p[0], 10*segment+i)
		}
		b.WriteString("</trkseg>")
	}
	b.WriteString("</trk>\n</gpx>\n")
	return b.String()
}

func fenceBook() string {
	return strings.Join([]string{
		"station,backsight,intermediate,foresight,known_level_m,distance_m,remark",
		"TBM fence corner,1.204,,,100.000,0,head of a strainer post; level assumed",
		"track 0,,1.655,,,12,",
		"track 40,,2.480,,,52,",
		"track 80,,3.290,,,92,",
		"CP1,0.842,,3.605,,100,",
		"track 120,,1.274,,,132,",
		"track 160,,2.098,,,172,",
		"CP2,3.512,,2.611,,180,back to the start",
		"CP3,2.655,,0.412,,270,",
		"TBM fence corner,,,1.588,100.000,360,",
	}, "\r\n") + "\r\n"
}
