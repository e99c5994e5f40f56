package visit

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

// Two officers record different heights, places and books with no signal between them. Each
// sees both values with who and when; choosing one, also the one shown, settles it on both
// phones and at the office.
func TestClashIsSettledOnThePhone(t *testing.T) {
	t.Parallel()
	dam := thing{"dam-1", map[string]any{"kind": "check-dam", "name": "Third dam", "status": "built", "builtOn": "2024-08-01", "crestHeightM": 0.45, "crestHeightBasis": "taped", "geometry": point(146.5001, -20.25), "accuracyM": 4.0}}
	run := thing{"run-1", map[string]any{"kind": "level-run", "name": "Run 1", "rows": rows(1.435)}}
	d := begin(t, []thing{dam, run})
	other := phone.New(t, d.Office, phone.Durable())
	other.Enrol(property, d.Office.Invite(property, "S. Other"), here)
	other.Go("#/thing/" + dam.id)
	other.WaitText("Third dam")
	other.Offline(true)
	height := func(p *phone.Phone, m, how string) {
		p.Go("#/thing/" + dam.id + "/edit")
		p.WaitHeading("Edit Third dam")
		p.Type("Crest above bed", m)
		p.Tap(how)
		p.Tap("Save")
		p.WaitSaid("Third dam edited")
	}
	height(d.Phone, "0.5", "By tape")
	d.sent(1)
	height(other, "0.7", "Estimated")
	other.Offline(false)
	d.elsewhere("U. Upper", "elsewhere",
		thing{dam.id, map[string]any{"geometry": point(146.5002, -20.25), "accuracyM": 3.0}}, thing{run.id, map[string]any{"rows": rows(1.453)}})
	d.elsewhere("T. Third", "third",
		thing{dam.id, map[string]any{"geometry": point(146.5003, -20.25), "accuracyM": 5.0}}, thing{run.id, map[string]any{"rows": rows(1.534)}})
	for _, p := range []*phone.Phone{d.Phone, other} {
		p.Go("#/")
		p.WaitText("To settle: ") // among today's
		p.Go("#/thing/" + dam.id)
		p.WaitText("Two people recorded different values")
		p.WaitText("In doubt: two people recorded different values")
		p.Tap("Compare and settle")
		p.WaitText("0.5 m, by tape") // taped again, as it was before: the value says so with it
		p.WaitText("0.7 m, estimated")
		p.WaitText("R. Field, ")
		p.WaitText("S. Other, ")
		p.WaitText("from the other")
	}
	d.CheckFit("settling a clash")
	d.Screenshot("settle")
	shown := phone.Eval[string](d.Page, `document.querySelector("section[aria-label='Crest above bed'] .side b").innerText`)
	phone.Eval[bool](d.Page, `(() => { document.querySelector("section[aria-label='Crest above bed'] .side button").click(); return true; })()`) // the one shown
	d.WaitSaid("Crest above bed settled")
	d.WaitFor(`!document.querySelector("section[aria-label='Crest above bed']")`)
	other.WaitFor(`!document.querySelector("section[aria-label='Crest above bed']")`)
	phone.Eval[bool](d.Page, `(() => { document.querySelectorAll("section[aria-label='Position'] .side button, section[aria-label='Place'] .side button")[1].click(); return true; })()`)
	d.WaitText("Third dam")
	d.WaitGone("Two people recorded different values")
	m, how, _ := strings.Cut(shown, " m, ") // the item's page has it among the figures
	d.WaitText("Crest above bed " + m)
	d.WaitText(how)
	other.WaitText("Nothing is left to settle")
	other.Go("#/thing/" + dam.id)
	other.WaitGone("Two people recorded different values")
	other.WaitText("Crest above bed " + m)
	other.WaitText(how) // comes with it

	d.Go("#/thing/" + run.id)
	d.WaitText("Two people recorded different values")
	d.Go("#/thing/" + run.id + "/settle")
	d.WaitText("row 1: backsight 1.534")
	d.WaitText("T. Third")
	d.CheckFit("settling a level run")
	d.Screenshot("settle-run")
	phone.Eval[bool](d.Page, `(() => { document.querySelectorAll(".side button")[0].click(); return true; })()`)
	d.WaitSaid("settled")
	d.Go("#/thing/" + run.id)
	d.WaitGone("Two people recorded different values")
}

func rows(bs float64) []map[string]any {
	return []map[string]any{{"point": "BM1", "bs": bs, "knownLevelM": 100}, {"point": "A", "fs": 1.2}}
}

// elsewhere appends entries of a device that had seen what the desk recorded, and nothing else.
func (d day) elsewhere(author, device string, changes ...thing) {
	d.t.Helper()
	var entries []register.Entry
	for i, one := range changes {
		set := map[string]json.RawMessage{}
		for name, value := range one.fields {
			raw, err := json.Marshal(value)
			if err != nil {
				d.t.Fatal(err)
			}
			set[name] = raw
		}
		now := time.Now()
		entries = append(entries, register.Entry{
			Version: register.Version, ID: register.ID(fmt.Sprintf("019abc00-0000-7000-9000-%02x%010x", device[0], i+1)), Property: d.Office.Property(property).ID, Feature: one.id,
			Device: device, DeviceSeq: uint64(i + 1), Stamp: register.StampAt(now), SeenAt: now.Format(time.RFC3339), Author: author, Set: model.FieldValuesOf(set), Saw: map[string]uint64{"desk": 2},
		})
	}
	d.Office.Plant(property, entries...)
}
