// Package visit takes photos and visits works on an officer's phone, with the phone's own
// camera stood in for by files and by Chromium's made-up one, and with the server's own
// computations to compare with.
package visit

import (
	"context"
	"encoding/json"
	"maps"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

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

func (one thing) planted() map[string]any {
	fields := maps.Clone(one.fields)
	fields["id"] = one.id
	return fields
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
	for _, one := range things {
		office.PlantFeatures(property, one.planted())
	}
	d := day{phone.New(t, office, append([]phone.Option{phone.Durable()}, options...)...), t}
	d.Enrol(property, code, here)
	d.WaitText("The property is on this phone")
	d.Go("#/")
	d.WaitText("Nothing recorded today yet")
	return d
}

// intercept keeps the browser from opening its own window for choosing a file.
func (d day) intercept() {
	d.t.Helper()
	d.Do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true})
		return err
	}))
}

// shoot gives the phone a file as its camera does: it is of now.
func (d day) shoot(file string) {
	d.t.Helper()
	now := time.Now()
	if err := os.Chtimes(file, now, now); err != nil {
		d.t.Fatal(err)
	}
	d.choose(file)
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
	if err := json.Unmarshal(e.Set.Get(name), &v); err != nil {
		t.Errorf("field %q of the entry %s: %v", name, e.Raw, err)
	}
	return v
}
