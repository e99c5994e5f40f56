package device_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/device"
	"headcut/sync/exchange"
	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

const creek = "creek"

// office is a small server: store, exchange, enrolment and photos.
type office struct {
	store  store.Register
	photos store.Photos
	url    string
}

func newOffice(t testing.TB) *office {
	t.Helper()
	dir, quiet := t.TempDir(), slog.New(slog.DiscardHandler)
	s, err := boltstore.Open(filepath.Join(dir, "register.db"), boltstore.Options{})
	must(t, err)
	photos, err := boltstore.OpenPhotos(filepath.Join(dir, "photos"))
	must(t, err)
	admit := func(_ context.Context, token string) (exchange.Grant, error) {
		return exchange.Grant{Device: strings.TrimPrefix(token, "token-of-"), Authors: []string{"an officer"}, Properties: []string{creek}}, nil
	}
	x := exchange.New(exchange.Options{Store: s, Admit: admit, Logger: quiet})
	mux := http.NewServeMux()
	mux.Handle("GET /sync", x)
	mux.Handle("/photos/{sha}", &photo.Handler{Photos: photos, Logger: quiet, Admit: func(ctx context.Context, token string) (string, error) {
		grant, err := admit(ctx, token)
		return grant.Device, err
	}})
	mux.HandleFunc("POST /enrol", func(w http.ResponseWriter, r *http.Request) {
		var asks struct{ Code, Device string }
		if json.NewDecoder(r.Body).Decode(&asks) != nil || asks.Code != "open" {
			w.WriteHeader(http.StatusForbidden)
			_ = json.NewEncoder(w).Encode(model.Problem{Path: "code", Reason: "is not one of ours"})
			return
		}
		_ = json.NewEncoder(w).Encode(map[string]any{"token": "token-of-" + asks.Device, "properties": []device.Property{{ID: creek, Name: "Stony Creek"}}})
	})
	web := httptest.NewServer(mux)
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		defer cancel()
		if err := errors.Join(x.Stop(ctx), s.Close()); err != nil {
			t.Errorf("stopping: %v", err)
		}
		web.Close()
	})
	return &office{store: s, photos: photos, url: web.URL}
}

func (o *office) enrol(t testing.TB) *device.Device {
	t.Helper()
	d, err := device.Enrol(t.Context(), o.url, "open", "an officer", time.Now)
	must(t, err)
	return d
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// TestOfficersDay walks through a day of two officers: captures of one feature with no signal, a
// clash, its settlement, and photos.
func TestOfficersDay(t *testing.T) {
	o := newOffice(t)
	a, b := o.enrol(t), o.enrol(t)
	if len(a.Properties) != 1 || a.Properties[0].ID != creek {
		t.Fatalf("properties after enrolment: got %v", a.Properties)
	}
	sync := func(devices ...*device.Device) {
		for _, d := range devices {
			must(t, d.Sync(t.Context()))
		}
	}
	must(t, a.Set(creek, "head", device.Fields{"kind": "gully-head", "notes": "head of the north arm"}))
	sync(a, b)
	must(t, a.Set(creek, "head", device.Fields{"notes": "undercut"}))
	must(t, b.Set(creek, "head", device.Fields{"notes": "not undercut"}))
	sync(a, b, a)
	for name, d := range map[string]*device.Device{"a": a, "b": b} {
		if f := d.Feature(creek, "head"); len(f.Clashes) != 1 || f.Clashes[0].Field != "notes" || len(f.Clashes[0].Values) != 2 {
			t.Errorf("device %s: clashes of notes set twice unseen: got %+v, want one with two sides", name, f.Clashes)
		}
	}
	must(t, b.Set(creek, "head", device.Fields{"notes": "undercut by 0.2 m"}))
	var shas [2]register.Hash
	for i := range shas {
		jpeg := fmt.Append(nil, "photo ", i)
		shas[i] = register.HashOf(jpeg)
		must(t, b.Photo(creek, "head", jpeg))
	}
	sync(b, a)
	f := a.Feature(creek, "head")
	if want := fmt.Sprintf("[%q,%q]", shas[0], shas[1]); len(f.Clashes) != 0 || string(f.Fields["notes"]) != `"undercut by 0.2 m"` || string(f.Fields["photos"]) != want {
		t.Errorf("after settling: got %+v, want the later notes, no clash and the photos %s", f, want)
	}
	for _, sha := range shas {
		photo, err := o.photos.Open(t.Context(), sha)
		if err != nil {
			t.Errorf("photo %s: %v", sha, err)
			continue
		}
		must(t, photo.Close())
	}
}

// TestRefusals hands on what the server or the register's rules say.
func TestRefusals(t *testing.T) {
	o := newOffice(t)
	if _, err := device.Enrol(t.Context(), o.url, "guessed", "an officer", time.Now); !isAt(err, "code") {
		t.Errorf("enrolment with a wrong code: got %v, want the server's Problem at code", err)
	}
	d := o.enrol(t)
	if err := d.Set(creek, "head", device.Fields{"kind": "gully-head", "headDepthM": 5000}); !isAt(err, "set.headDepthM") {
		t.Errorf("a head 5 km deep: got %v, want a Problem", err)
	}
	if err := d.Set(creek, "head", device.Fields{"notes": func() {}}); !isAt(err, "notes") {
		t.Errorf("notes that are no JSON: got %v, want a Problem", err)
	}
	other, err := device.Enrol(t.Context(), o.url, "open", "somebody else", time.Now)
	must(t, err)
	must(t, other.Set(creek, "head", device.Fields{"kind": "gully-head"}))
	if err := other.Sync(t.Context()); err == nil || !strings.Contains(err.Error(), "was not taken") {
		t.Errorf("an entry of an author who is not enrolled: got %v, want that it was not taken", err)
	}
}

func isAt(err error, path string) bool {
	problem, ok := errors.AsType[*model.Problem](err)
	return ok && problem.Path == path
}

// BenchmarkOfficersDay sends a day of 2,000 entries, captured offline, to the server and
// pulls it back: everything durable there. The goal is 2 s on two cores.
func BenchmarkOfficersDay(b *testing.B) {
	const entries = 2000
	for b.Loop() {
		b.StopTimer()
		o := newOffice(b)
		d := o.enrol(b)
		for i := range entries {
			must(b, d.Set(creek, fmt.Sprintf("head-%03d", i%400), device.Fields{"kind": "gully-head", "headDepthM": float64(i%300) / 100,
				"notes": fmt.Sprint("undercut, roots exposed, capture ", i), "observedOn": "2026-03-02"}))
		}
		b.StartTimer()
		began := time.Now()
		must(b, d.Sync(b.Context()))
		b.ReportMetric(time.Since(began).Seconds(), "s/day")
		b.StopTimer()
		if n, err := o.store.Newest(b.Context(), creek); err != nil || n != entries {
			b.Fatalf("after the day the register has %d entries (%v), want %d", n, err, entries)
		}
		b.StartTimer()
	}
}
