package phonecompute

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/model/followup"
	"headcut/model/planning"
	"headcut/sync/register"
)

func entryID(n int) register.ID { return register.ID(fmt.Sprintf("01939f00-0000-7000-8000-%012d", n)) }

// entry writes an entry as a device would.
func entry(t testing.TB, n int, e register.Entry) register.Entry {
	t.Helper()
	e.Version, e.ID, e.Property, e.Author = 1, entryID(n), "01939f00-0000-7000-8000-0000000000aa", "A. Officer"
	e.Stamp = register.Stamp(uint64(1_700_000_000_000+n) << 16)
	e.SeenAt = "2026-05-12T09:00:00+10:00"
	return e
}

func textOf(t testing.TB, e register.Entry) string {
	t.Helper()
	raw, err := register.Encode(e)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

// The phone's features are the server's: fields, clashes and all.
func TestFoldIsTheRegisters(t *testing.T) {
	set := func(name, value string) model.FieldValues {
		return model.FieldValues{{Name: name, Raw: json.RawMessage(value)}}
	}
	const head = "01939f00-0000-7000-8000-00000000f001"
	entries := []register.Entry{
		entry(t, 1, register.Entry{Feature: head, Device: "phone-1", DeviceSeq: 1, Set: set("kind", `"gully-head"`)}),
		entry(t, 2, register.Entry{Feature: head, Device: "phone-1", DeviceSeq: 2, Set: set("headDepthM", `1.6`)}),
		entry(t, 3, register.Entry{Feature: head, Device: "phone-2", DeviceSeq: 1, Saw: map[string]uint64{"phone-1": 1}, Set: set("headDepthM", `1.4`)}),
	}
	entries[0].Stamp = register.StampAt(time.UnixMilli(1_700_000_000_000).AddDate(3, 0, 0)) // a clock years ahead
	entries = append(entries, entry(t, 4, register.Entry{Feature: head, Device: "phone-3", DeviceSeq: 1, Set: set("kind", `"hazard"`)}))
	entries[3].Stamp = register.StampAt(time.UnixMilli(1_700_000_000_000).AddDate(1, 0, 0))
	var q foldQuestion
	var numbered []register.Numbered
	q.Features = append(q.Features, struct {
		Feature string      `json:"feature"`
		Entries []keptEntry `json:"entries"`
	}{Feature: head})
	for i, e := range entries {
		arrived := time.UnixMilli(1_700_000_100_000 + int64(i)*3_600_000) // so the last to arrive wins, whatever its clock says
		q.Features[0].Entries = append(q.Features[0].Entries, keptEntry{N: uint64(i + 1), ArrivedMS: arrived.UnixMilli(), Text: textOf(t, e)})
		numbered = append(numbered, register.Numbered{N: uint64(i + 1), Capped: register.Capped(e.Stamp, arrived), Arrived: register.ArrivedAt(arrived), Entry: e})
	}
	question, err := json.Marshal(q)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := Fold(question)
	if err != nil {
		t.Fatal(err)
	}
	var got foldAnswer
	if err := json.Unmarshal(answer, &got); err != nil || len(got.Features) != 1 {
		t.Fatalf("answer %s: %v", answer, err)
	}
	want := register.Fold(head, numbered)
	if a, b := asJSON(t, got.Features[0].Folded), asJSON(t, want); a != b {
		t.Errorf("folded\n%s\nwant\n%s", a, b)
	}
	if string(want.Fields["kind"]) != `"hazard"` {
		t.Errorf("the kind is %s, want that of the later arrival: the test looks at no clock that is off", want.Fields["kind"])
	}
	if len(want.Clashes) != 2 {
		t.Errorf("the entries clash in %d fields, want 2: the test looks at no clash", len(want.Clashes))
	}
	if saw := map[string]uint64{"phone-1": 2, "phone-2": 1, "phone-3": 1}; !reflect.DeepEqual(got.Features[0].Saw, saw) {
		t.Errorf("saw %v, want %v", got.Features[0].Saw, saw)
	}
}

func asJSON(t testing.TB, v any) string {
	t.Helper()
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

func TestSheetsOfAProperty(t *testing.T) {
	var s Sheets
	ask := func(q string) sheetsAnswer {
		t.Helper()
		answer, err := s.Ask([]byte(q))
		if err != nil {
			t.Fatal(err)
		}
		var a sheetsAnswer
		if err := json.Unmarshal(answer, &a); err != nil {
			t.Fatal(err)
		}
		return a
	}
	a := ask(`{"property":"p","put":[{"id":"d1","fields":{"kind":"check-dam","name":"Dam 1","crestHeightM":0.4}},
		{"id":"t1","fields":{"kind":"thalweg","geometry":{"type":"LineString","coordinates":[[147,-20],[147.001,-20]]}}}],"of":["d1","t1","x"],"sections":true}`)
	if len(a.Sheets) != 2 || len(a.Sheets["d1"].Figures) != 1 || len(a.Sheets["t1"].Figures) == 0 {
		t.Errorf("sheets = %+v, want those of d1 and t1", a.Sheets)
	}
	a = ask(`{"property":"p","put":[{"id":"d1","struck":true}],"of":["d1","t1"]}`)
	if _, ok := a.Sheets["d1"]; ok || len(a.Sheets) != 1 {
		t.Errorf("sheets = %+v after d1 was struck, want that of t1", a.Sheets)
	}
	a = ask(`{"property":"p","put":[{"id":"x","fields":{"kind":"cross-section","name":"Across 1","thalweg":"t1","chainageM":40}},
		{"id":"r","fields":{"kind":"level-run","rows":[{"point":"BM","bs":3,"knownLevelM":100},{"point":"l","is":2,"feature":"x","spot":"section","offsetM":-3},
		{"point":"m","is":3.5,"feature":"x","spot":"section","offsetM":0},{"point":"r","is":2,"feature":"x","spot":"section","offsetM":3},{"point":"BM","fs":3,"knownLevelM":100}]}}],"of":["x"],"across":true}`)
	if area, ok := a.Sheets["x"].Figure("brinkAreaM2"); !ok || math.Abs(area.Value-4.5) > 1e-9 || len(a.Across) != 1 || a.Across[0].Run != "r" || len(a.Across[0].Points) != 3 {
		t.Errorf("sheets %+v and cross-sections %+v, want 4.5 m² across, of run r", a.Sheets, a.Across)
	}
	if a = ask(`{"property":"q","of":["t1"]}`); len(a.Sheets) != 0 {
		t.Errorf("another property shows %+v", a.Sheets)
	}
}

// Of what the page put before, another question plans; a plan that is kept says what of its base is
// another since.
func TestPlansOfAProperty(t *testing.T) {
	var s Sheets
	ask := func(answer func([]byte) ([]byte, error), q string, into any) {
		t.Helper()
		text, err := answer([]byte(q))
		if err == nil {
			err = json.Unmarshal(text, into)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	const request = `"request":{"of":"Head 1","plans":"peak-flow","given":{"coefficient":0.3,"intensityMmH":50}}`
	ask(s.Ask, `{"property":"p","put":[{"id":"h1","fields":{"kind":"gully-head","name":"Head 1","catchmentHa":2},"saw":{"d1":2,"a":7}},
		{"id":"h2","fields":{"kind":"gully-head","name":"Head 1"},"struck":true}]}`, new(any))
	var o planning.Outcome
	ask(s.Plan, `{"property":"p",`+request+`}`, &o)
	if o.Answer == nil || o.Adoption != nil || len(o.Used) != 1 || o.Used[0].Version != string(register.FingerprintOf(map[string]uint64{"a": 7, "d1": 2}).Append(nil)) {
		t.Fatalf("the plan is %+v, want an answer from Head 1 as it was seen, and nothing to write down", o)
	}
	ask(s.Plan, `{"property":"p",`+request+`,"today":"2026-12-01"}`, &o)
	if o.Adoption == nil || len(o.Adoption.Changes) != 1 {
		t.Fatalf("the plan adopts %+v, want itself", o.Adoption)
	}
	plan := o.Adoption.Changes[0]
	put := `{"property":"p","put":[{"id":"` + plan.Feature + `","fields":` + asJSON(t, plan.Fields) + `}%s],"changed":true}`
	var a sheetsAnswer
	ask(s.Ask, fmt.Sprintf(put, ""), &a)
	if len(a.Changed) != 0 {
		t.Errorf("the plan says %v, and nothing changed", a.Changed)
	}
	ask(s.Ask, fmt.Sprintf(put, `,{"id":"h1","fields":{"kind":"gully-head","name":"Head 1","catchmentHa":2},"saw":{"d1":3,"a":7}}`), &a)
	if changed := a.Changed[plan.Feature]; len(changed) != 1 || changed[0].What != "Head 1 was edited since, or struck out and restored." {
		t.Errorf("the plan says %v, want that the head was edited", a.Changed)
	}
}

// What a property as a whole asks is answered from what the page put before, by the officer's day.
func TestOrderAndFollowUpOfAProperty(t *testing.T) {
	var s Sheets
	if _, err := s.Ask([]byte(`{"property":"p","put":[{"id":"h1","fields":{"kind":"gully-head","name":"Head 1","headDepthM":1.2,"observedOn":"2024-05-01"}},
		{"id":"d1","fields":{"kind":"check-dam","name":"Dam 1","status":"built","builtOn":"2024-06-01"}},{"id":"d2","fields":{"kind":"check-dam","name":"Dam 2","status":"built"},"struck":true}]}`)); err != nil {
		t.Fatal(err)
	}
	text, err := s.Order([]byte(`{"property":"p","today":"2026-12-01"}`))
	var order planning.Order
	if err != nil || json.Unmarshal(text, &order) != nil || len(order.Places) != 1 || order.Places[0].Name != "Head 1" {
		t.Errorf("the order is %s, %v; want Head 1 in it", text, err)
	}
	text, err = s.FollowUp([]byte(`{"property":"p","today":"2026-12-01","request":{"from":2024,"kind":"check-dam"}}`))
	var report followup.Report
	if err != nil || json.Unmarshal(text, &report) != nil || report.On.String() != "2026-12-01" || len(report.Due) != 1 || report.Due[0].Name != "Dam 1" || len(report.Held) != 1 || report.Held[0].Built != 1 {
		t.Errorf("the follow-up is %s, %v; want Dam 1 due and built", text, err)
	}
	for _, wrong := range []string{`{"property":"p","today":"soon"}`, `{"property":"p","today":"2026-12-01","request":{"kind":"damm"}}`} {
		if text, err := s.FollowUp([]byte(wrong)); err == nil {
			t.Errorf("%s is answered %s, want a refusal", wrong, text)
		}
	}
}

func FuzzQuestions(f *testing.F) {
	f.Add([]byte(`{"features":[{"feature":"x","entries":[{"text":"{}"}]}]}`))
	f.Add([]byte(`{"features":null}`))
	f.Add([]byte(`{"property":"p","put":[{"id":"a","fields":{"kind":"level-run","rows":[{"bs":1}]}}],"of":["a"],"sections":true}`))
	f.Add([]byte(`{"property":"p","put":[{"id":"x","fields":{"kind":"cross-section"}},{"id":"a","fields":{"kind":"level-run","rows":[{"bs":1,"knownLevelM":100},{"is":1,"feature":"x","spot":"section","offsetM":-1},{"fs":1}]}}],"across":true}`))
	f.Add([]byte(`{"property":"p","put":[{"id":"a","fields":{"kind":"thalweg","geometry":{"type":"Point"}}}]}`))
	f.Add([]byte(`{"property":"p","put":[{"id":"a","fields":{"kind":"thalweg"},"saw":{"d":1},"clashes":["geometry"]}],"request":{"of":"a","plans":"dams"},"today":"2026-12-01","changed":true}`))
	f.Add([]byte(`{"property":"p","put":[{"id":"a","fields":{"kind":"gully-head","observedOn":"2024-02-30"}},{"id":"v","fields":{"kind":"visit","of":"a","observedOn":"2025-01-01"}}],"today":"2026-12-01","request":{"from":1}}`))
	f.Fuzz(func(t *testing.T, question []byte) {
		var s Sheets
		for _, answer := range []func([]byte) ([]byte, error){Fold, s.Ask, s.Plan, s.Order, s.FollowUp} {
			text, err := answer(question)
			if err == nil && !json.Valid(text) || err != nil && strings.TrimSpace(err.Error()) == "" {
				t.Errorf("%q gives %q, %v", question, text, err)
			}
		}
	})
}
