package server

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"headcut/sync/store/storetest"
)

// Random days of two phones that begin properties and send to them, and of an office that
// accepts, renames, merges and restarts in between: at every moment each entry that was
// acknowledged is in exactly one property that the office lists, and each phone reaches what
// it began and all that this was merged into.
func TestBegunPropertiesAtRandom(t *testing.T) {
	random := storetest.Random(t)
	s := newSite(t)
	as := []enrolAnswer{s.enrolledAs(t, "d1", "R. Field", "Creek Block"), s.enrolledAs(t, "d2", "K. Ranger", "Ridge Block")}
	type place struct {
		id    string
		phone int
		sent  uint64
	}
	var places []*place
	acknowledged := 0
	for step := range 120 {
		phone := random.IntN(2)
		switch did := random.IntN(10); {
		case did < 2 && len(places) < 12:
			p := &place{id: fmt.Sprint("p", len(places)), phone: phone}
			s.connects(t, as[phone]).begins(p.id, fmt.Sprint("Place ", len(places)))
			places = append(places, p)
		case did < 6 && len(places) > 0:
			p := places[random.IntN(len(places))]
			conn := s.connects(t, as[p.phone])
			if random.IntN(3) == 0 && p.sent > 0 {
				conn.wantTaken(p.id, p.sent) // its receipt was lost
			}
			p.sent++
			conn.wantTaken(p.id, p.sent)
			acknowledged++
		case did < 7 && len(places) > 0:
			s.change(t, PropertyChange{Do: "accept", Which: places[random.IntN(len(places))].id})
		case did < 8 && len(places) > 0:
			s.change(t, PropertyChange{Do: "rename", Which: places[random.IntN(len(places))].id, Name: fmt.Sprint("Name ", random.IntN(30))})
		case did < 9 && len(places) > 0:
			into := places[random.IntN(len(places))].id
			if random.IntN(3) == 0 {
				into = "Creek Block"
			}
			s.change(t, PropertyChange{Do: "merge", LetIn: true, Which: places[random.IntN(len(places))].id, Into: into})
		default:
			s.shut()
			s = openSite(t, s.dir, s.at)
		}
		if step%10 != 9 {
			continue
		}
		seen := map[string]int{}
		for _, p := range s.Properties() {
			for f, err := range s.folded(t.Context(), p.ID) {
				if err != nil {
					t.Fatal(err)
				}
				seen[f.Feature]++
			}
		}
		if len(seen) != acknowledged {
			t.Fatalf("step %d: %d features are shown of %d acknowledged", step, len(seen), acknowledged)
		}
		for id, n := range seen {
			if n != 1 {
				t.Errorf("step %d: %s is shown in %d properties", step, id, n)
			}
		}
		for _, p := range places {
			welcome := s.connects(t, as[p.phone]).welcome
			at := slices.Index(welcome.Properties, p.id)
			if at < 0 {
				t.Fatalf("step %d: the phone that began %s reaches only %s", step, p.id, strings.Join(welcome.Properties, ", "))
			}
			if into := welcome.About[at].Into; into != "" && (!slices.Contains(welcome.Properties, into) || s.propertyOf(into).Into != "") {
				t.Errorf("step %d: it is told that %s is part of %s", step, p.id, into)
			}
		}
	}
	if acknowledged < 20 || len(places) < 5 {
		t.Errorf("the days were too quiet: %d entries, %d properties", acknowledged, len(places))
	}
}
