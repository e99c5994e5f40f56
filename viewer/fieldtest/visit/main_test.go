// Package visit takes photos and visits works on an officer's phone, with the phone's own
// camera stood in for by files and by Chromium's made-up one, and with the server's own
// computations to compare with.
package visit

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"headcut/sync/register"
	"headcut/viewer/fieldtest/phone"
)

func TestMain(m *testing.M) { phone.Main(m) }

const property = "Stony Block"

// here is where the phones of these tests stand: nowhere in particular.
var here = phone.Fix{Lon: 146.5, Lat: -20.25, AccuracyM: 4}

// thing is a feature that the office knows before the phone enrols.
type thing struct {
	id     string
	fields map[string]any
}

var (
	dam  = thing{"dam-1", map[string]any{"kind": "check-dam", "name": "Third dam", "status": "built", "builtOn": "2024-08-01", "crestHeightM": 0.4, "geometry": point(146.5001, -20.25)}}
	head = thing{"head-1", map[string]any{"kind": "gully-head", "name": "Lip", "headDepthM": 1.6, "observedOn": "2024-08-02", "accuracyM": 3, "geometry": point(146.5002, -20.2501)}}
)

func point(lon, lat float64) map[string]any {
	return map[string]any{"type": "Point", "coordinates": []float64{lon, lat}}
}

func visited(id, of, on string, more map[string]any) thing {
	fields := map[string]any{"kind": "visit", "of": of, "observedOn": on}
	for name, value := range more {
		fields[name] = value
	}
	return thing{id, fields}
}

// day is an officer's phone that has enrolled and has the office's things.
type day struct {
	*phone.Phone
	t *testing.T
}

func begin(t *testing.T, things []thing, options ...phone.Option) day {
	t.Helper()
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	plant(t, office, things)
	d := day{phone.New(t, office, append([]phone.Option{phone.Durable()}, options...)...), t}
	d.At(here)
	d.Open("/field/#/enrol/" + code)
	d.Tap("Enrol this phone")
	d.WaitHeading(property)
	d.WaitText("The property is on this phone")
	d.Go("#/")
	d.WaitText("Nothing recorded today yet")
	return d
}

func plant(t *testing.T, office *phone.Office, things []thing) {
	t.Helper()
	id := office.Property(property).ID
	var entries []register.Entry
	for i, one := range things {
		set := map[string]json.RawMessage{}
		for name, value := range one.fields {
			raw, err := json.Marshal(value)
			if err != nil {
				t.Fatal(err)
			}
			set[name] = raw
		}
		at := time.Date(2026, 1, 1, 9, i, 0, 0, time.UTC)
		entries = append(entries, register.Entry{
			Version: register.Version, ID: register.ID(fmt.Sprintf("019abc00-0000-7000-8000-%012x", i+1)), Property: id, Feature: one.id,
			Device: "desk", DeviceSeq: uint64(i + 1), Stamp: register.StampAt(at), SeenAt: at.Format(time.RFC3339), Author: "A. Desk", Set: set,
		})
	}
	office.Plant(property, entries...)
}

// intercept keeps the browser from opening its own window for choosing a file.
func (d day) intercept() {
	d.t.Helper()
	d.Do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true})
		return err
	}))
}

// choose gives the phone a file, as its camera or gallery does.
func (d day) choose(file string) {
	d.t.Helper()
	d.WaitFor(`document.querySelector("input[type=file]") !== null`)
	d.Do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{file}))
}

// sent waits until the office has so many entries of phones, and gives them.
func (d day) sent(count int) []phone.Held {
	d.t.Helper()
	var phones []phone.Held
	for deadline := time.Now().Add(phone.Patience); time.Now().Before(deadline); time.Sleep(50 * time.Millisecond) {
		phones = slices.DeleteFunc(d.Office.Entries(property), func(h phone.Held) bool { return h.Device == "desk" })
		if len(phones) >= count {
			break
		}
	}
	if len(phones) != count {
		d.t.Fatalf("the office has %d entries of the phone, want %d: %v\n%s", len(phones), count, raws(phones), d.Text())
	}
	return phones
}

func raws(entries []phone.Held) (all []string) {
	for _, e := range entries {
		all = append(all, string(e.Raw))
	}
	return all
}

// value reads a field that an entry sets; it fails the test when there is none.
func value[T any](t *testing.T, e phone.Held, name string) (v T) {
	t.Helper()
	if err := json.Unmarshal(e.Set[name], &v); err != nil {
		t.Errorf("field %q of the entry %s: %v", name, e.Raw, err)
	}
	return v
}
