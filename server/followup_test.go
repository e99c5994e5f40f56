package server

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/followup"
	"headcut/model/monitor"
	"headcut/sync/device"
)

// Two phones record a dam and its visits; the office reads what is known of it, from which entries, and what is due.
func TestTheOfficeReadsWhatPhonesRecorded(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Stony Creek")
	if err != nil {
		t.Fatal(err)
	}
	var phones []*device.Device
	for _, author := range []string{"A. Hill", "B. Field"} {
		code, _, err := s.InviteDevice(t.Context(), author, p)
		if err != nil {
			t.Fatal(err)
		}
		d, err := device.Enrol(t.Context(), s.web.URL, code, author, s.now)
		if err != nil {
			t.Fatal(err)
		}
		phones = append(phones, d)
	}
	record := func(d *device.Device, feature string, fields device.Fields) {
		t.Helper()
		if err := d.Set(p.ID, feature, fields); err != nil {
			t.Fatal(err)
		}
	}
	sync := func() {
		t.Helper()
		for _, d := range append(phones, phones...) {
			if err := d.Sync(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
	}
	hill, field := phones[0], phones[1]
	record(hill, "dam", device.Fields{"kind": "check-dam", "name": "D1", "status": "built", "builtOn": "2025-02-01", "crestHeightM": 0.3, "crestHeightBasis": "from plan", "thalweg": "gully"})
	record(hill, "gully", device.Fields{"kind": "thalweg", "name": "Fig Gully"})
	sync()
	record(field, "dam", device.Fields{"crestHeightM": 0.4, "crestHeightBasis": "taped"})
	record(field, "visit", device.Fields{"kind": "visit", "of": "dam", "observedOn": "2025-06-01", "condition": "needs work"})
	sync()
	record(hill, "dam", device.Fields{"material": "timber"})
	record(field, "dam", device.Fields{"material": "hay bales"})
	sync()

	known, err := s.Figures(t.Context(), FiguresRequest{Property: "stony creek", Of: "d1"})
	if err != nil || known.Feature == nil {
		t.Fatalf("%+v, %v", known, err)
	}
	f := known.Feature
	if len(f.Entries) != 4 || len(f.Visits) != 1 || f.Visits[0].By != "B. Field" || f.Visited == nil || f.Visited.Condition != model.NeedsWork {
		t.Errorf("entries %+v, visits %+v, %+v", f.Entries, f.Visits, f.Visited)
	}
	of := func(name string) KnownField {
		field, _ := model.Find(f.Fields, func(k KnownField) bool { return k.Name == name })
		return field
	}
	if crest := of("crestHeightM"); crest.By != "B. Field" || crest.Entry != f.Entries[1].ID || crest.Basis != model.Taped || crest.Origin != followup.Observed || string(crest.Value) != "0.4" {
		t.Errorf("the crest is %+v", crest)
	}
	if status, gully := of("status"), of("thalweg"); status.By != "A. Hill" || status.Entry != f.Entries[0].ID || gully.Called != "Fig Gully" {
		t.Errorf("status %+v, gully %+v", status, gully)
	}
	if len(f.RestsOn) != 1 || f.RestsOn[0].Feature != "gully" {
		t.Errorf("rests on %+v, want the gully", f.RestsOn)
	}
	if len(f.Clashes) != 1 || f.Clashes[0].Label != "Built from" || len(f.Clashes[0].Values) != 2 {
		t.Errorf("clashes %+v", f.Clashes)
	}
	if whole, err := s.Figures(t.Context(), FiguresRequest{Property: "Stony Creek"}); err != nil || len(whole.Clashes) != 1 || !slices.EqualFunc(whole.Kinds, []string{"thalweg", "check-dam", "visit"}, func(k KnownKind, name string) bool { return k.Kind == name && k.Count == 1 }) {
		t.Errorf("of the property %+v, %v", whole, err)
	}

	got, err := s.FollowUp(t.Context(), FollowUpRequest{Property: "Stony Creek"})
	today, _ := monitor.ParseDay(s.now().Format("2006-01-02"))
	if err != nil || got.On != today || len(got.Due) != 1 || got.Due[0].Reasons[0].Why != followup.Harm || got.Held[0].Material != "material not settled" {
		t.Errorf("%+v, %v", got, err)
	}
	for path, body := range map[string]string{"/office/figures": `{"property":"Nowhere"}`, "/office/follow-up": `{"property":"Stony Creek","kind":"pond"}`} {
		if status, said := ask(t, http.MethodPost, s.admin.URL+path, body); status != http.StatusUnprocessableEntity || !strings.Contains(said, "there is no") {
			t.Errorf("POST %s %s: %d %s", path, body, status, said)
		}
	}
}
