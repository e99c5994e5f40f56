package day

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

// shownByForm lists what a form shows of each of its fields, by label: what is typed, and which
// button is pressed. What is folded away, or hidden in any other way, is not shown.
const shownByForm = `(() => {
	const all = {};
	const put = (e, label, text) => { if (e.checkVisibility({ visibilityProperty: true }) && e.getBoundingClientRect().height > 0) all[label.trim()] = text; };
	for (const e of document.querySelectorAll("main .input input, main .input textarea")) put(e, e.closest(".input").querySelector("label").firstChild.textContent, e.value);
	for (const e of document.querySelectorAll("main .chooser > .entry")) put(e, e.closest("fieldset").querySelector("legend").firstChild.textContent, e.innerText);
	for (const e of document.querySelectorAll("main .choice button[aria-pressed=true]")) put(e, e.closest("fieldset").querySelector("legend").firstChild.textContent, e.innerText);
	return JSON.stringify(all);
})()`

// lastSet is what the newest entry on the phone sets.
const lastSet = `new Promise(yes => {
	const open = indexedDB.open("headcut");
	open.onsuccess = () => {
		const all = open.result.transaction("entries").objectStore("entries").getAll();
		all.onsuccess = () => { open.result.close(); yes(JSON.stringify(all.result.map(e => JSON.parse(e.text)).filter(e => e.author === "R. Field").sort((a, b) => a.deviceSeq - b.deviceSeq).map(e => e.set ?? {}))); };
	};
})`

// otherwise are fields that no form asks: the screen tells of them in other words, and the test
// looks for those.
var otherwise = map[string]func(raw string, words string) bool{
	"kind": func(raw, words string) bool {
		k, _ := model.KindNamed(strings.Trim(raw, `"`))
		return strings.Contains(strings.ToLower(words), strings.ToLower(k.Label))
	},
	"observedOn":    func(raw, words string) bool { return strings.Contains(words, model.DayInWords(strings.Trim(raw, `"`))) },
	"geometry":      func(_, words string) bool { return strings.Contains(words, "±") },
	"accuracyM":     func(_, words string) bool { return strings.Contains(words, "±") },
	"positionBasis": func(raw, words string) bool { return strings.Contains(words, "GPS") || raw == `"drawn on the map"` },
	"receiver":      func(string, string) bool { return true }, // the raw record of the receiver or the finger, which is no statement of the officer's
}

// A save writes what its form showed, and nothing else, whatever stood on the last item of
// the kind: every kind is marked, walked or drawn after one whose every field is filled in.
func TestFormsSaveWhatTheyShow(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	code := office.Invite("Stony Block", "R. Field") // which makes the property
	plantOneOfEach(office)
	p := phone.New(t, office, phone.Durable())
	p.Enrol("Stony Block", code, here)
	p.Go("#/thing/planted-unsorted") // the last that was planted: all are on the phone
	p.WaitText("Item of unsorted")
	for _, kind := range model.Kinds {
		if kind.Name == "visit" || kind.Shapes[0] == model.NoShape {
			continue // they have screens of their own
		}
		p.At(here) // a position of a minute ago is none
		before := len(written(t, p))
		var words string
		if slices.Contains(kind.Shapes, model.PointShape) {
			p.Go("#/mark/" + kind.Name)
			p.WaitFor(placed)
			words = p.Text()
			p.Tap("Mark it here")
			p.WaitSaid(kind.Label + " saved")
		} else {
			p.Go("#/line/" + kind.Name + "/" + string(kind.Shapes[0]))
			p.WaitText("GPS")
			draw(p, kind.Shapes[0])
			words = p.Text()
			p.Tap("Save")
			p.WaitFor(`location.hash.endsWith("/fill")`)
		}
		p.WaitFor(`document.querySelector("main .input, main .choice") !== null`)
		first := written(t, p)
		if len(first) != before+1 {
			t.Fatalf("%s: recording it wrote %d entries, want 1", kind.Name, len(first)-before)
		}
		compare(t, kind, first[before], nil, words)
		chooseHow(p)
		visible := map[string]string{}
		if err := json.Unmarshal([]byte(phone.Eval[string](p.Page, shownByForm)), &visible); err != nil {
			t.Fatal(err)
		}
		if kind.Work && (visible["Status"] != "" || visible["Built on"] != "") {
			t.Errorf("%s: a status stands chosen that nobody chose: %v", kind.Name, visible)
		}
		words = p.Text()
		if kind.Name == "check-dam" || kind.Name == "gully-head" || kind.Name == "rip-line" {
			p.CheckFit("the form of a " + kind.Name)
			p.Screenshot("form-" + kind.Name)
		}
		p.Tap("Save")
		p.WaitFor(`!document.querySelector("main .carried") && !location.hash.endsWith("/fill") && !location.hash.includes("/mark/")`)
		for _, set := range written(t, p)[len(first):] {
			compare(t, kind, set, visible, words)
		}
	}
}

// howSaid is what a form's button says of a basis.
var howSaid = map[model.Basis]string{
	model.Levelled: "By level and staff", model.Taped: "By tape", model.GPS: "By GPS", model.Drawn: "Drawn on the map",
	model.Estimated: "Estimated", model.FromPlan: "From the plan",
}

// chooseHow says of each number in sight that was carried over how it was measured: none is presumed.
func chooseHow(p *phone.Phone) {
	phone.Eval[bool](p.Page, `(() => {
		for (const f of document.querySelectorAll("main .carried fieldset.choice")) {
			const known = [...f.querySelectorAll("button")];
			if (f.querySelector("legend").innerText.includes("how measured") && !known.some(b => b.ariaPressed === "true")) known[0].click();
		}
		return true;
	})()`)
	p.WaitFor(`[...document.querySelectorAll("main .carried fieldset.choice")].every(f => f.querySelector("[aria-pressed=true]"))`)
}

// draw puts positions down at the cross, moving the map between.
func draw(p *phone.Phone, shape model.Shape) {
	n := 2
	if shape == model.AreaShape {
		n = 3
	}
	p.WaitFor(`document.querySelector(".map canvas") !== null`)
	box := `(() => { document.querySelector(".map").scrollIntoView({block: "center"}); const r = document.querySelector(".map").getBoundingClientRect(); return [r.left, r.top, r.width, r.height]; })()`
	r := phone.Eval[[]float64](p.Page, box)
	for i := range n {
		p.TapAt(r[0]+r[2]*[]float64{0.3, 0.7, 0.5}[i], r[1]+r[3]*[]float64{0.4, 0.4, 0.7}[i])
		p.WaitText(fmt.Sprintf("%d point", i+1))
	}
	if shape == model.AreaShape {
		p.Tap("Join ends")
		p.WaitText("Closed")
	}
}

// compare tells each field of an entry that was not to be seen on the screen as it was saved.
func compare(t *testing.T, kind model.Kind, set map[string]json.RawMessage, visible map[string]string, words string) {
	t.Helper()
	for name, raw := range set {
		if name == "gpsHeightM" || name == "gpsHeightsM" {
			continue // these phones give none
		}
		if look, ok := otherwise[name]; ok {
			if !look(string(raw), words) {
				t.Errorf("%s: %s = %s was saved and the screen did not tell of it: %s", kind.Name, name, raw, words)
			}
			continue
		}
		field, ok := kind.FieldNamed(name)
		if !ok {
			t.Errorf("%s: %s = %s was saved, a field nobody knows", kind.Name, name, raw)
			continue
		}
		text, isText := strings.CutPrefix(strings.ToLower(string(raw)), `"`)
		text = strings.TrimSuffix(text, `"`)
		saw := strings.ToLower(visible[field.Label])
		var same bool
		switch {
		case saw == "":
		case field.Type == model.YesNo:
			same = saw == map[string]string{"true": "yes", "false": "no"}[text]
		case field.Type == model.Reference:
			same = strings.HasPrefix(saw, "item of "+strings.ToLower(field.Name)) || isText // the button has its name, with how far off it is
		case strings.HasSuffix(field.Label, "how measured"):
			same = saw == strings.ToLower(howSaid[model.Basis(strings.Trim(string(raw), `"`))])
		default:
			same = saw == text
		}
		if !same {
			t.Errorf("%s: %s = %s was saved, the form showed %q", kind.Name, name, raw, visible[field.Label])
		}
	}
}

func written(t *testing.T, p *phone.Phone) (all []map[string]json.RawMessage) {
	t.Helper()
	if err := json.Unmarshal([]byte(phone.Eval[string](p.Page, lastSet)), &all); err != nil {
		t.Fatal(err)
	}
	return all
}

// plantOneOfEach gives the property an item of each kind with every field of its form filled in.
func plantOneOfEach(office *phone.Office) {
	var entries []register.Entry
	for i, kind := range model.Kinds {
		if kind.Name == "visit" || kind.Shapes[0] == model.NoShape {
			continue
		}
		set := map[string]json.RawMessage{}
		for _, f := range kind.AllFields() {
			switch f.Type {
			case model.Text:
				set[f.Name] = json.RawMessage(`"planted"`)
			case model.Number, model.Integer:
				set[f.Name] = json.RawMessage(`1`)
			case model.YesNo:
				set[f.Name] = json.RawMessage(`false`)
			case model.Date:
				set[f.Name] = json.RawMessage(`"2026-05-13"`)
			case model.Choice:
				set[f.Name], _ = json.Marshal(f.Choices[len(f.Choices)-1])
			}
		}
		at := fmt.Sprintf("[146.52, %.4f]", -20.25-float64(i)/1000)
		switch kind.Shapes[0] {
		case model.PointShape:
			set["geometry"] = json.RawMessage(`{"type":"Point","coordinates":` + at + `}`)
		case model.LineShape:
			set["geometry"] = json.RawMessage(`{"type":"LineString","coordinates":[` + at + `,[146.521, -20.25]]}`)
		default:
			set["geometry"] = json.RawMessage(`{"type":"Polygon","coordinates":[[` + at + `,[146.521, -20.25],[146.522,-20.251],` + at + `]]}`)
		}
		set["kind"], _ = json.Marshal(kind.Name)
		set["name"], _ = json.Marshal("Item of " + kind.Name)
		now := time.Now().Add(-time.Hour)
		entries = append(entries, register.Entry{Version: 1, ID: register.ID(fmt.Sprintf("01900000-0000-7000-8000-%012d", i+1)), Property: office.Property("Stony Block").ID, Feature: "planted-" + kind.Name,
			Device: "desk", DeviceSeq: uint64(len(entries) + 1), SeenAt: now.Format(time.RFC3339), Author: "Desk", Set: model.FieldValuesOf(set), Stamp: register.StampAt(now)})
	}
	office.Plant("Stony Block", entries...)
}
