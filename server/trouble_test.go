package server

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"iter"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
	"headcut/sync/store/storetest"
)

// faulty is the real store until it has yielded so many features of a property, where it
// fails or panics.
type faulty struct {
	store.Register
	after int
	fail  func() error
}

func (f *faulty) Features(ctx context.Context, property string) iter.Seq2[register.Folded, error] {
	return f.failing(property, f.Register.Features(ctx, property))
}

func (f *faulty) FeaturesBut(ctx context.Context, property string, without func(string) bool) iter.Seq2[register.Folded, error] {
	return f.failing(property, f.Register.FeaturesBut(ctx, property, without))
}

func (f *faulty) failing(property string, features iter.Seq2[register.Folded, error]) iter.Seq2[register.Folded, error] {
	return func(yield func(register.Folded, error) bool) {
		n := 0
		for folded, err := range features {
			if n++; property != officeProperty && n > f.after {
				yield(register.Folded{}, f.fail())
				return
			}
			if !yield(folded, err) {
				return
			}
		}
	}
}

// points is a GeoJSON file of so many points with long notes.
func points(n int) string {
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	for i := range n {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(`{"type":"Feature","geometry":{"type":"Point","coordinates":[144.2,-19.1]},"properties":{"kind":"peg","notes":"` +
			strings.Repeat("n", 400) + hex.EncodeToString([]byte{byte(i >> 8), byte(i)}) + `"}}`)
	}
	b.WriteString(`]}`)
	return b.String()
}

// TestHalfAnExportIsSeenAsOne breaks the store off in the middle of an export: the client
// must meet an error, not a file that ends.
func TestHalfAnExportIsSeenAsOne(t *testing.T) {
	s := newSite(t)
	if status, body := ask(t, "POST", s.admin.URL+"/office/intake?property=Saltbush&file=x.geojson", points(2000)); status != 200 {
		t.Fatalf("intake answered %d %s", status, body)
	}
	whole, err := s.Property("Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	broken := &faulty{Register: s.bolt, after: 1500}
	broken.fail = func() error { return errors.New("the disk has gone") }
	s.store = broken
	res, err := http.Get(s.admin.URL + "/office/export?format=geojson&property=" + whole.Name)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if res.StatusCode != 200 || len(body) == 0 {
		t.Fatalf("the export answered %d with %d bytes: it did not break off in the middle", res.StatusCode, len(body))
	}
	if err == nil {
		t.Errorf("the client read %d bytes to their end, want an error", len(body))
	}
	if json.Valid(body) {
		t.Error("the half that arrived is a whole file")
	}
}

func TestPanicInOneRequestIsAnswered(t *testing.T) {
	s := newSite(t)
	ask(t, "POST", s.admin.URL+"/office/intake?property=Saltbush&file=x.geojson", points(3))
	s.store = &faulty{Register: s.bolt, fail: func() error { panic("a fault of ours") }}
	status, body := ask(t, "GET", s.admin.URL+"/office/export?format=geojson&property=Saltbush", "")
	if p := problemIn(t, body); status != 500 || strings.Contains(p.Reason, "fault of ours") {
		t.Errorf("a panic answered %d %s, want 500 and nothing of its inside", status, body)
	}
	if status, _ := ask(t, "GET", s.admin.URL+"/office/properties", ""); status != 200 {
		t.Errorf("after a panic the next request answered %d, want 200", status)
	}
}

// TestLinkPhotos gives the photos that the map shows, and no others.
func TestLinkPhotos(t *testing.T) {
	s := newSite(t)
	photos, err := boltstore.OpenPhotos(filepath.Join(s.dir, "photos"))
	if err != nil {
		t.Fatal(err)
	}
	keep := func(text string) string {
		sum := sha256.Sum256([]byte(text))
		if _, err := photos.WriteAt(t.Context(), store.Sending{Device: "d-1", SHA: sum}, 0, int64(len(text)), strings.NewReader(text)); err != nil {
			t.Fatal(err)
		}
		return hex.EncodeToString(sum[:])
	}
	dam := string(jpegOf(t, 1))
	drawn, err := asShared.draw([]byte(dam))
	if err != nil {
		t.Fatal(err)
	}
	shown, hidden, stray := keep(dam), keep("a secret place"), keep("of another property")
	absent := hex.EncodeToString(bytes.Repeat([]byte{7}, 32))
	file := `{"type":"FeatureCollection","features":[
		{"type":"Feature","geometry":{"type":"Point","coordinates":[144.2,-19.1]},"properties":{"kind":"check-dam","status":"built","photos":["` + shown + `","` + absent + `"]}},
		{"type":"Feature","geometry":{"type":"Point","coordinates":[144.3,-19.2]},"properties":{"kind":"check-dam","status":"built","sensitive":true,"photos":["` + hidden + `"]}}]}`
	if status, body := ask(t, "POST", s.admin.URL+"/office/intake?property=Saltbush&file=x.geojson", file); status != 200 {
		t.Fatalf("intake answered %d %s", status, body)
	}
	p, err := s.Property("Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.AddDate(0, 0, 7))
	if err != nil {
		t.Fatal(err)
	}
	for name, test := range map[string]struct {
		sha    string
		status int
	}{"shown": {shown, 200}, "sensitive": {hidden, 404}, "of-nothing-shown": {stray, 404}, "not-arrived": {absent, 404}, "not-a-hash": {"x", 400}} {
		status, body := ask(t, "GET", s.web.URL+"/map/"+secret+"/photos/"+test.sha, "")
		if status != test.status || status == 200 && body != string(drawn) {
			t.Errorf("the photo %s answered %d %q, want %d", name, status, body, test.status)
		}
	}
}

// TestOfficeIsOffTheNetwork: what the admin API does cannot be asked of the server's address.
func TestOfficeIsOffTheNetwork(t *testing.T) {
	s := newSite(t)
	for _, path := range []string{"/office/properties", "/office/export?format=geojson", "/office/snapshot"} {
		if status, _ := ask(t, "GET", s.web.URL+path, ""); status != 404 {
			t.Errorf("GET %s from the network answered %d, want 404", path, status)
		}
	}
	rec := httptest.NewRecorder()
	s.Handler().ServeHTTP(rec, httptest.NewRequest("POST", "/office/invite", strings.NewReader(`{"property":"x","author":"y"}`)))
	if rec.Code != 404 {
		t.Errorf("POST /office/invite from the network answered %d, want 404", rec.Code)
	}
}

// TestStruckFeatures strikes a dam out: it is on no map of a link and in no file of one; the
// office's own files say that it was struck out, and give it no place and no figures.
func TestStruckFeatures(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Saltbush")
	if err != nil {
		t.Fatal(err)
	}
	officer := &storetest.Maker{Property: p.ID, Device: "d1"}
	raw := []json.RawMessage{
		officer.Entry("dam-1", nil, "kind", `"check-dam"`, "name", `"Standing dam"`, "status", `"built"`, "geometry", storetest.Point(144.2, -19.1)),
		officer.Entry("dam-2", nil, "kind", `"check-dam"`, "name", `"Struck dam"`, "status", `"built"`, "geometry", storetest.Point(144.3, -19.1)),
		officer.Strike("dam-2", nil, true),
	}
	receipts, err := s.bolt.Append(t.Context(), p.ID, raw)
	if err != nil || receipts[2].N == 0 {
		t.Fatalf("Append = %+v, %v", receipts, err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.AddDate(0, 0, 7))
	if err != nil {
		t.Fatal(err)
	}
	for _, url := range []string{s.web.URL + "/map/" + secret + "/land.json", s.web.URL + "/map/" + secret + "/works.kml", s.web.URL + "/map/" + secret + "/works.geojson"} {
		status, body := ask(t, "GET", url, "")
		if status != 200 || !strings.Contains(body, "Standing dam") || strings.Contains(body, "Struck dam") || strings.Contains(body, "Officer d1") {
			t.Errorf("%s answered %d; want the standing dam alone, and nobody's name, in %.2000s", url, status, body)
		}
	}
	for format, struck := range map[string]string{"geojson": `"struckOut":true},"geometry":null}`, "kml": `<SimpleData name="struckOut">1</SimpleData></SchemaData></ExtendedData></Placemark>`} {
		status, body := ask(t, "GET", s.admin.URL+"/office/export?property=Saltbush&format="+format, "")
		if status != 200 || !strings.Contains(body, "Standing dam") || strings.Count(body, struck) != 1 || strings.Contains(body, "144.3") {
			t.Errorf("the office's %s answered %d; want the struck dam without its place in %.2000s", format, status, body)
		}
	}
}
