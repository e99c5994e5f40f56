// Package fieldmap takes an officer's phone over a property: the map, lines and areas
// walked or tapped, and what becomes of them when the page is hidden or killed.
package fieldmap

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

func TestMain(m *testing.M) { phone.Main(m) }

const property = "Stony Block"

// start is where walks begin: nowhere in particular.
var start = phone.Fix{Lon: 146.5, Lat: -20.25, AccuracyM: 4}

// enrolled is a phone of an office that has enrolled and stands on the first screen.
func enrolled(t *testing.T, office *phone.Office, options ...phone.Option) *phone.Phone {
	t.Helper()
	p := phone.New(t, office, append([]phone.Option{phone.Durable()}, options...)...)
	p.Enrol(property, office.Invite(property, "R. Field"), start)
	return p
}

// off is the fix so many metres east and north of the start, roughly: walks need no better.
func off(eastM, northM float64) phone.Fix {
	const perDegree = 111_000
	f := start
	f.Lat += northM / perDegree
	f.Lon += eastM / (perDegree * math.Cos(start.Lat*math.Pi/180))
	return f
}

// start is given again wherever a test needs a fix: the browser gives an old place with its
// old time, and the page does not take what is old.

// walk puts the phone at each place in turn, waiting until the page has as many positions.
func walk(p *phone.Phone, have int, places ...phone.Fix) {
	for i, place := range places {
		p.At(place)
		p.WaitSaid(positions(have + i + 1))
	}
}

func positions(n int) string {
	if n == 1 {
		return "1 point"
	}
	return fmt.Sprintf("%d points", n)
}

// feature is one thing that the phone holds, by its own store.
type feature struct {
	ID     string
	Fields struct {
		Kind     string
		Notes    string
		Geometry struct {
			Type        string
			Coordinates json.RawMessage
		}
		Status      string
		AccuracyM   float64
		GPSHeightsM []*float64 `json:"gpsHeightsM"`
		Receiver    struct {
			How          []string
			AccuraciesM  []float64 `json:"accuraciesM"`
			SecondsAfter []float64
			Gaps         []struct{ Why, From, To string }
		}
	}
}

func features(p *phone.Phone) []feature {
	return phone.Eval[[]feature](p.Page, `new Promise((yes, no) => {
		const open = indexedDB.open("headcut");
		open.onerror = () => no(open.error);
		open.onsuccess = () => {
			const all = open.result.transaction("features").objectStore("features").getAll();
			all.onsuccess = () => { open.result.close(); yes(all.result); };
		};
	})`)
}

// saved waits for the one feature of a kind and returns it.
func saved(t *testing.T, p *phone.Phone, kind string) feature {
	t.Helper()
	var found []feature
	for _, f := range features(p) {
		if f.Fields.Kind == kind {
			found = append(found, f)
		}
	}
	if len(found) != 1 {
		t.Fatalf("%d features of kind %s on the phone, want 1", len(found), kind)
	}
	return found[0]
}

func coordinates[T any](t *testing.T, f feature, wantType string) T {
	t.Helper()
	var v T
	if got := f.Fields.Geometry.Type; got != wantType {
		t.Fatalf("the %s is a %s, want a %s: %s", f.Fields.Kind, got, wantType, f.Fields.Geometry.Coordinates)
	}
	if err := json.Unmarshal(f.Fields.Geometry.Coordinates, &v); err != nil {
		t.Fatalf("%s: %v", f.Fields.Geometry.Coordinates, err)
	}
	return v
}
