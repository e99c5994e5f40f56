package storetest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"headcut/sync/register"
	"headcut/sync/store"
)

func numbersAndChains(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	var sent []json.RawMessage
	for i := range 25 {
		batch := []json.RawMessage{a.Entry(fmt.Sprint("f", i%4), nil, "name", fmt.Sprint(i)[:0]+`"x"`), a.Entry("g", nil, "notes", `"y"`)}
		for j, r := range appendAll(t, s, "p", batch...) {
			if want := uint64(2*i + j + 1); r.N != want || r.HighSeq != want {
				t.Errorf("receipt of entry %d = %+v, want that number and highSeq", want, r)
			}
		}
		sent = append(sent, batch...)
	}
	all, end := ReadAll(t, s, "p")
	if len(all) != len(sent) || end.N != uint64(len(sent)) {
		t.Fatalf("%d entries were taken and %d are read", len(sent), len(all))
	}
	for i, e := range all {
		if !bytes.Equal(e.Raw, sent[i]) || e.Entry.DeviceSeq != uint64(i+1) {
			t.Errorf("entry %d reads %s, want %s", i+1, e.Raw, sent[i])
		}
		if e.Capped != register.Capped(e.Entry.Stamp, e.Arrived.Time()) || e.Arrived == 0 {
			t.Errorf("entry %d counts from %v, want its stamp capped at its arrival %v", i+1, e.Capped, e.Arrived.Time())
		}
	}
}

func keepsBytes(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	plain := string(a.Entry("f", nil, "name", `"é <&> \u2028 \/"`))
	odd := strings.Replace(plain, `{"v":1,`, `{ "later" : {"b":[1.50,-0,1e2],"a":null} ,"v":1,`, 1)
	appendAll(t, s, "p", json.RawMessage(odd))
	all, _ := ReadAll(t, s, "p")
	if len(all) != 1 || string(all[0].Raw) != odd {
		t.Errorf("the entry reads %s, want %s", all[0].Raw, odd)
	}
}

func sendingAgain(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	batch := []json.RawMessage{a.Entry("f", nil, "name", `"x"`), a.Entry("f", nil, "name", `"y"`), a.Entry("g", nil, "name", `"z"`)}
	first := appendAll(t, s, "p", batch...)
	before := features(t, s, "p")
	twice := append(append([]json.RawMessage{}, batch...), a.Entry("h", nil, "name", `"new"`))
	twice = append(twice, batch[0], twice[3])
	again := send(t, s, "p", twice...)
	for i, want := range []uint64{first[0].N, first[1].N, first[2].N, 4, first[0].N, 4} {
		if got := again[i]; got.N != want || got.Known != (i != 3) || got.Refused != "" || got.HighSeq < 3 {
			t.Errorf("receipt %d of sending again = %+v, want number %d", i, got, want)
		}
	}
	all, _ := ReadAll(t, s, "p")
	if len(all) != 4 {
		t.Errorf("%d entries after sending again, want 4", len(all))
	}
	after := features(t, s, "p")
	for id, f := range before {
		if got, want := fmt.Sprint(after[id]), fmt.Sprint(f); got != want {
			t.Errorf("feature %s after sending again is %s, want %s", id, got, want)
		}
	}
}

func sameIDOtherContent(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	raw := a.Entry("f", nil, "name", `"x"`)
	appendAll(t, s, "p", raw)
	other := json.RawMessage(strings.Replace(string(raw), `"x"`, `"changed"`, 1))
	fresh := a.Entry("f", nil, "notes", `"taken"`)
	got := send(t, s, "p", other, fresh)
	if got[0].Refused == "" || got[0].N != 0 || !strings.Contains(got[0].Refused, "id") {
		t.Errorf("receipt of the same id with other content = %+v, want a refusal that names the id", got[0])
	}
	if got[1].N != 2 {
		t.Errorf("receipt of the entry beside it = %+v, want number 2", got[1])
	}
	if name := string(features(t, s, "p")["f"].Fields["name"]); name != `"x"` {
		t.Errorf("the name is %s after the refusal, want \"x\"", name)
	}
}

func clonedDevice(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	appendAll(t, s, "p", a.Entry("f", nil, "name", `"x"`))
	clone := *a
	appendAll(t, s, "p", a.Entry("f", nil, "name", `"original"`))
	got := send(t, s, "p", clone.Entry("f", nil, "name", `"clone"`))[0]
	if !got.Cloned || !strings.Contains(strings.ToLower(got.Refused), "enrol again") || got.N != 0 || got.HighSeq != 2 {
		t.Errorf("receipt of a cloned device's entry = %+v, want cloned, refused with \"enrol again\", highSeq 2", got)
	}
	again := &Maker{Property: "p", Device: "again"}
	appendAll(t, s, "p", again.Entry("f", map[string]uint64{"a": 1}, "name", `"clone"`))
	if f := features(t, s, "p")["f"]; len(f.Clashes) != 1 || len(f.Clashes[0].Values) != 2 {
		t.Errorf("the feature has clashes %+v, want original against clone", f.Clashes)
	}
}

func gapsAreTold(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	var raw []json.RawMessage
	for range 6 {
		raw = append(raw, a.Entry("f", nil, "name", `"x"`))
	}
	for _, step := range []struct {
		send int
		high uint64
	}{{2, 0}, {0, 1}, {5, 1}, {1, 3}, {4, 3}, {3, 6}} {
		if got := send(t, s, "p", raw[step.send])[0]; got.HighSeq != step.high || got.N == 0 {
			t.Errorf("after deviceSeq %d the receipt is %+v, want highSeq %d", step.send+1, got, step.high)
		}
	}
}

func refusalsHoldNothingBack(t T, s store.Register) {
	a, b := &Maker{Property: "p", Device: "a"}, &Maker{Property: "q", Device: "b"}
	kind := a.Entry("f", nil, "kind", `"check-dam"`)
	bad := a.Entry("f", nil, "crestHeightM", `"high"`)
	where := a.Entry("g", nil, "geometry", `{"type":"Point","coordinates":[200,0]}`)
	good := a.Entry("f", nil, "crestHeightM", `0.4`)
	nan := json.RawMessage(strings.Replace(string(good), "0.4", "NaN", 1))
	got := send(t, s, "p", kind, bad, where, nan, b.Entry("f", nil, "name", `"x"`), json.RawMessage("{"), nil, good)
	for i, named := range map[int]string{1: "Crest height", 2: "Geometry", 3: "Crest height", 4: "Property", 5: "ends", 6: "ends"} {
		if got[i].N != 0 || !strings.Contains(got[i].Refused, named) {
			t.Errorf("receipt %d = %+v, want a refusal that names %q", i, got[i], named)
		}
	}
	if got[0].N != 1 || got[7].N != 2 {
		t.Errorf("the good entries have receipts %+v and %+v, want numbers 1 and 2", got[0], got[7])
	}
	if all, _ := ReadAll(t, s, "p"); len(all) != 2 {
		t.Errorf("%d entries are here, want the 2 good ones", len(all))
	}
}

func newerVersionsPassThrough(t T, s store.Register) {
	a := &Maker{Property: "p", Device: "a"}
	first := a.Entry("f", nil, "name", `"x"`)
	a.Seq++
	newer := json.RawMessage(fmt.Sprintf(`{"v":%d,"id":%q,"property":"p","feature":"f","device":"a","deviceSeq":%d,"set":"unheard of"}`,
		register.Version+1, NewID(), a.Seq))
	alone := json.RawMessage(fmt.Sprintf(`{"v":99,"id":%q,"property":"p","feature":"only-newer","device":"b","deviceSeq":1}`, NewID()))
	got := appendAll(t, s, "p", first, newer, alone, a.Entry("f", nil, "notes", `"y"`))
	if got[3].HighSeq != 3 {
		t.Errorf("the entry after a newer one has receipt %+v, want highSeq 3", got[3])
	}
	all, _ := ReadAll(t, s, "p")
	if len(all) != 4 || string(all[1].Raw) != string(newer) || string(all[2].Raw) != string(alone) {
		t.Errorf("the newer entries do not come back as they were sent: %d entries", len(all))
	}
	folded := features(t, s, "p")
	if len(folded) != 1 || len(folded["f"].Fields) != 2 {
		t.Errorf("the features are %v, want f alone with 2 fields", folded)
	}
	if known := send(t, s, "p", newer)[0]; !known.Known || known.N != 2 {
		t.Errorf("a newer entry sent again has receipt %+v, want known as 2", known)
	}
}

func clocksAreTold(t T, s store.Register) {
	for device, off := range map[string]time.Duration{"good": 0, "slow": -3 * 365 * 24 * time.Hour, "fast": 25 * time.Hour, "future": 10 * 365 * 24 * time.Hour} {
		m := &Maker{Property: "p", Device: device}
		raw := m.Entry("f-"+device, nil, "name", `"x"`)
		var e register.Entry
		if err := json.Unmarshal(raw, &e); err != nil {
			t.Fatalf("%s: %v", raw, err)
		}
		e.Stamp = register.StampAt(time.Now().Add(off))
		raw, err := register.Encode(e)
		if err != nil {
			t.Fatalf("Encode: %v", err)
		}
		got := time.Duration(appendAll(t, s, "p", raw)[0].ClockOffS) * time.Second
		if diff := got - off; diff.Abs() > time.Minute {
			t.Errorf("a clock %v off is told as %v", off, got)
		}
	}
	all, _ := ReadAll(t, s, "p")
	for _, e := range all {
		if lead := e.Capped.Time().Sub(e.Arrived.Time()); lead > register.LeadAllowed {
			t.Errorf("an entry of %s counts %v past its arrival, want at most %v", e.Entry.Device, lead, register.LeadAllowed)
		}
	}
}

func propertiesAreApart(t T, s store.Register) {
	p, q := &Maker{Property: "p", Device: "a"}, &Maker{Property: "q", Device: "a"}
	for i := range 10 {
		if r := appendAll(t, s, "p", p.Entry("f", nil, "name", `"in p"`))[0]; r.N != uint64(i+1) {
			t.Errorf("number %d in p, want %d", r.N, i+1)
		}
		if r := appendAll(t, s, "q", q.Entry("f", nil, "name", `"in q"`))[0]; r.N != uint64(i+1) || r.HighSeq != uint64(i+1) {
			t.Errorf("receipt %+v in q, want number and highSeq %d", r, i+1)
		}
	}
	if name := string(features(t, s, "p")["f"].Fields["name"]); name != `"in p"` {
		t.Errorf("f in p is named %s", name)
	}
	all, _ := ReadAll(t, s, "q")
	for _, e := range all {
		if e.Entry.Property != "q" {
			t.Errorf("entry %d of q is of %s", e.N, e.Entry.Property)
		}
	}
	if none, at := ReadAll(t, s, "r"); len(none) != 0 || at.N != 0 {
		t.Errorf("a property without entries has %d, and ends at %+v", len(none), at)
	}
	if _, err := s.Append(t.Context(), "Not An ID", []json.RawMessage{p.Entry("f", nil, "name", `"x"`)}); err == nil {
		t.Errorf("Append to a property with an odd id = nil, want an error")
	}
}
