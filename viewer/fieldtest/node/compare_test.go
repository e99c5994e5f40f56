package node

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"

	"headcut/sync/register"
)

// compare compares the register with what phones said was saved, and with what they hold, when
// all is sent and fetched. It takes the server down for a moment.
func (p *play) compare() {
	p.t.Helper()
	p.office.kill()
	on := p.office.read()
	p.office.run("verify", "--data", p.office.data)
	p.compareEntries(on)
	for _, who := range p.phones {
		for _, property := range slices.Concat(p.common, who.begun) {
			who.compareFeatures(property, on.folded[property])
		}
	}
	p.office.start()
}

// compareEntries checks that the register has what was saved, as it was recorded, and nothing
// else but what phones were killed over.
func (p *play) compareEntries(on contents) {
	p.t.Helper()
	saved, unheard := map[string]recorded{}, map[string][]recorded{} // by id; by author
	for _, who := range p.phones {
		maps.Copy(saved, who.saved)
		unheard["Officer "+who.name] = slices.Clone(who.unheard)
	}
	numbers := map[string]string{}
	for property, entries := range on.entries {
		if property == "office" { // the office's own
			continue
		}
		for i, e := range entries {
			id := string(e.Entry.ID)
			if e.N != uint64(i)+1 {
				p.t.Errorf("entry %d of %s has the number %d", i+1, property, e.N)
			}
			number := fmt.Sprint(property, " ", e.Entry.Device, " ", e.Entry.DeviceSeq)
			if other, twice := numbers[number]; twice {
				p.t.Errorf("entries %s and %s both are %s", other, id, number)
			}
			numbers[number] = id
			if r, ok := saved[id]; ok {
				if !r.is(e.Entry) {
					p.t.Errorf("entry %s was recorded as %+v and stands in the register as %s", id, r, e.Raw)
				}
			} else if i := slices.IndexFunc(unheard[e.Entry.Author], func(r recorded) bool { return r.is(e.Entry) }); i >= 0 {
				unheard[e.Entry.Author] = slices.Delete(unheard[e.Entry.Author], i, i+1)
			} else {
				p.t.Errorf("the register has an entry that nobody recorded: %s", e.Raw)
			}
		}
	}
	on.hasOnce(p.t, saved)
}

// is tells whether an entry says what was recorded.
func (r recorded) is(e register.Entry) bool {
	set := map[string]any{}
	for _, field := range e.Set {
		name, raw := field.Name, field.Raw
		if name == "photos" && r.photo != nil {
			var shas []string
			if json.Unmarshal(raw, &shas) != nil || !slices.Contains(shas, r.sha()) {
				return false
			}
			continue
		}
		set[name] = value(raw)
	}
	asked, _ := json.Marshal(r.Set) // of numbers and texts
	want, _ := value(asked).(map[string]any)
	return e.Property == r.Property && (r.Feature == "" || e.Feature == r.Feature) &&
		reflect.DeepEqual(e.Strike, r.Strike) && (len(want) == 0 && len(set) == 0 || reflect.DeepEqual(set, want))
}

func value(raw []byte) (v any) {
	_ = json.Unmarshal(raw, &v) // it came out of JSON
	return v
}

// feature is what both a phone and the register know of one.
type feature struct {
	ID      string
	Fields  map[string]any
	Struck  bool
	Clashes []string
}

func (d *device) features(property string) (all []feature) {
	d.t.Helper()
	must(d.t, d.ask("features", asked{"property": property}, &all))
	return all
}

// compareFeatures compares what a phone knows of a property with the register.
func (d *device) compareFeatures(property string, folded map[string]register.Folded) {
	d.t.Helper()
	features := d.features(property)
	if len(features) != len(folded) {
		d.t.Errorf("phone %s has %d features of %s, the register %d", d.name, len(features), property, len(folded))
	}
	differ := 0
	for _, got := range features {
		f := folded[got.ID]
		want := feature{ID: f.Feature, Fields: map[string]any{}, Struck: f.Struck, Clashes: []string{}}
		for name, raw := range f.Fields {
			want.Fields[name] = value(raw)
		}
		for _, c := range f.Clashes {
			want.Clashes = append(want.Clashes, c.Field)
		}
		slices.Sort(got.Clashes)
		slices.Sort(want.Clashes)
		if !reflect.DeepEqual(got, want) {
			if differ++; differ <= 3 {
				d.t.Errorf("feature %s of %s:\nphone %s %+v\nregister %+v", got.ID, property, d.name, got, want)
			}
		}
	}
}
