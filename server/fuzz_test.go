package server

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/sync/store/boltstore"
	"headcut/sync/store/storetest"
	"headcut/viewer"
)

// fuzzedSite is a site whose register is never flushed, which only a crash would show; with a
// property, an item, an enrolled device's token and a link's secret.
func fuzzedSite(f *testing.F) (s *Server, property Property, token, link string) {
	dir, ctx := f.TempDir(), context.Background()
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	now := func() time.Time { return at }
	bolt, err := boltstore.Open(filepath.Join(dir, "register.bolt"), boltstore.Options{Now: now, NoFlush: true})
	if err != nil {
		f.Fatal(err)
	}
	photos, err := boltstore.OpenPhotos(filepath.Join(dir, "photos"))
	if err == nil {
		audit := func(context.Context, func(string, uint64)) (any, error) { return "sound", nil }
		s, err = New(ctx, Config{Store: bolt, Photos: photos, Pages: viewer.Pages(), Computations: viewer.Computations(), Audit: audit, Log: slog.New(slog.DiscardHandler), Now: now})
	}
	if err == nil {
		property, _, err = s.PropertyOrNew(ctx, "Saltbush Flat")
	}
	if err != nil {
		f.Fatal(err)
	}
	f.Cleanup(func() { _ = s.Close(ctx); _ = bolt.Close() })
	code, _, err := s.InviteDevice(ctx, "R. Field", property)
	if err != nil {
		f.Fatal(err)
	}
	answer, problem, err := s.enrol(ctx, enrolRequest{Code: code, Device: "phone-1", Author: "R. Field"})
	if err != nil || problem != nil {
		f.Fatal(problem, err)
	}
	m := storetest.Maker{Property: property.ID, Device: "phone-1"}
	if _, err := bolt.Append(ctx, property.ID, []json.RawMessage{m.Entry("dam", nil, "kind", `"check-dam"`, "geometry", storetest.Point(147, -20))}); err != nil {
		f.Fatal(err)
	}
	if link, err = s.Share(ctx, property, "a grazier", at.AddDate(1, 0, 0)); err != nil {
		f.Fatal(err)
	}
	return s, property, answer.Token, link
}

// fuzzedAnswer puts a request to a handler; it never fails as the server's own fault, and what it
// refuses is a problem with a reason.
func fuzzedAnswer(t *testing.T, h http.Handler, method, target, head, body string) {
	r, err := http.NewRequest(method, "http://register.example.org", strings.NewReader(body))
	if err != nil {
		return // no method, which no HTTP server passes on
	}
	path, query, _ := strings.Cut(target, "?")
	r.URL.Path, r.URL.RawQuery, r.RemoteAddr, r.RequestURI = "/"+strings.TrimPrefix(path, "/"), query, "198.51.100.7:4000", target
	for line := range strings.SplitSeq(head, "\n") {
		if name, value, ok := strings.Cut(line, ":"); ok && name != "" {
			r.Header.Add(name, strings.TrimSpace(value))
		}
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code == http.StatusInternalServerError || w.Code < 200 {
		t.Fatalf("%s %q with %q and %q is answered %d %s", method, target, head, body, w.Code, w.Body)
	}
	if w.Code >= 400 && strings.HasPrefix(w.Header().Get("Content-Type"), "application/json") && w.Header().Get("Content-Encoding") == "" && method != http.MethodHead {
		var p struct{ Reason string }
		if err := json.NewDecoder(bytes.NewReader(w.Body.Bytes())).Decode(&p); err != nil || p.Reason == "" {
			t.Fatalf("%s %q is refused with %d and no reason: %q", method, target, w.Code, w.Body)
		}
	}
}

// FuzzRequest is what anybody on the network may ask: addresses, ids, codes, links, ranges, offsets
// of photos, inputs of computations.
func FuzzRequest(f *testing.F) {
	s, _, token, link := fuzzedSite(f)
	h := s.Handler()
	sha := strings.Repeat("ab", 32)
	for _, r := range [][4]string{
		{"POST", "/enrol", "", `{"code":"k7m2x-9qd4t","device":"phone-2","author":"R. Field","token":"` + strings.Repeat("a", 32) + `","former":{"device":"phone-1","token":"x"}}`},
		{"POST", "/compute/line", "Accept-Encoding: gzip;q=0.5, br", `{"positions":[[147,-20],[147.1,-20]]}`}, {"GET", "/compute/line", "", ""}, {"GET", "/compute", "If-None-Match: W/\"x\", *", ""},
		{"GET", "/map/" + link, "", ""}, {"GET", "/map/" + link + "/land.json?after=1", "If-None-Match: \"a\"", ""}, {"GET", "/map/" + link + "/property.geojson", "", ""}, {"GET", "/map/" + link + "/photos/" + sha, "Range: bytes=0-1", ""},
		{"HEAD", "/photos/" + sha, "Authorization: Bearer " + token, ""}, {"PATCH", "/photos/" + sha, "Authorization: Bearer " + token + "\nUpload-Offset: 0\nUpload-Length: 4\nUpload-Complete: ?1\nContent-Type: application/partial-upload", "abcd"},
		{"GET", "/photos/" + sha, "Authorization: Bearer " + token + "\nRange: bytes=-5", ""}, {"GET", "/field/", "X-Forwarded-For: 203.0.113.9, ::1", ""}, {"GET", "/field/assets/../x", "", ""}, {"GET", "/sync", "Upgrade: websocket\nConnection: upgrade\nSec-WebSocket-Version: 13\nSec-WebSocket-Key: x", ""},
	} {
		f.Add(r[0], r[1], r[2], r[3])
	}
	f.Fuzz(func(t *testing.T, method, target, head, body string) { fuzzedAnswer(t, h, method, target, head, body) })
}

// FuzzOffice is what may be asked on the office's socket, in all of its commands.
func FuzzOffice(f *testing.F) {
	s, p, _, link := fuzzedSite(f)
	h := s.Admin()
	for _, r := range [][3]string{
		{"GET", "/office/properties", ""}, {"POST", "/office/property", `{"do":"rename","which":"Saltbush Flat","name":"Saltbush Flat"}`}, {"POST", "/office/property", `{"do":"merge","which":"1","into":"2"}`},
		{"GET", "/office/devices", ""}, {"GET", "/office/links", ""}, {"POST", "/office/widen", `{"device":"phone-1","properties":["Saltbush Flat"]}`}, {"POST", "/office/label", `{"device":"1","label":"the red one"}`},
		{"POST", "/office/shut", `{}`}, {"POST", "/office/confirm", `{"devices":["1"],"links":["1"]}`}, {"GET", "/office/addresses", ""}, {"POST", "/office/invite", `{"properties":["Saltbush Flat"],"author":"R. Field"}`},
		{"POST", "/office/revoke", `{"device":"phone-9","properties":["x"]}`}, {"POST", "/office/share", `{"property":"Saltbush Flat","for":"a grazier","days":30}`}, {"POST", "/office/unshare", `{"link":"` + link[:5] + `"}`},
		{"POST", "/office/intake?property=" + p.ID + "&name=a.csv", "name,lat,lon\nA,-20,147\n"}, {"GET", "/office/intakes?property=" + p.ID, ""}, {"POST", "/office/intake/undo", `{"property":"Saltbush Flat","intake":"1"}`},
		{"POST", "/office/restore", `{"property":"Saltbush Flat","feature":"dam"}`}, {"GET", "/office/export?property=Saltbush+Flat&format=kml", ""}, {"GET", "/office/audit", ""},
		{"GET", "/office/order?property=Saltbush+Flat", ""}, {"POST", "/office/figures", `{"property":"Saltbush Flat","of":"dam"}`}, {"POST", "/office/follow-up", `{"property":"Saltbush Flat","from":2024,"storms":[{"on":"2026-01-02","rainMm":60}]}`},
	} {
		f.Add(r[0], r[1], r[2])
	}
	f.Fuzz(func(t *testing.T, method, target, body string) {
		if strings.HasPrefix(target, "/office/snapshot") {
			return // the whole file: TestBackup has it
		}
		fuzzedAnswer(t, h, method, target, "", body)
	})
}

// FuzzAddresses reads what an operator, a browser or a proxy writes about addresses and codings.
func FuzzAddresses(f *testing.F) {
	f.Add("10.0.0.0/8, ::1", "203.0.113.9, 10.1.2.3", "10.0.0.1:80", "https://register.example.org:8443")
	f.Add("127.0.0.1", "", "[::1%eth0]:9", `W/"x", "y"`)
	f.Add("", "gzip;q=0.0, br", "x", "HTTP://EXAMPLE.ORG/")
	f.Add("", "", "", "20 GB")
	f.Fuzz(func(t *testing.T, proxies, header, remote, address string) {
		p, err := ParseProxies(proxies)
		if err != nil {
			return
		}
		r := &http.Request{RemoteAddr: remote, Header: http.Header{"X-Forwarded-For": {header}, "Accept-Encoding": {header}}}
		_ = p.client(r)
		_ = accepts(r, "gzip")
		_ = namesTag([]string{header}, address)
		if taken, err := ServerAddress(address); err == nil {
			if again, err := ServerAddress(taken); err != nil || again != taken {
				t.Fatalf("the address %q is taken as %q, and that as %q (%v)", address, taken, again, err)
			}
		}
		_ = heard(address)
		if size, err := ParseSize(address); err == nil && size < 0 {
			t.Fatalf("the size %q is taken as %d", address, size)
		}
	})
}

// FuzzOfficeRecord reads the fields of the office's records, which older versions wrote too: what
// is not what it should be reads as absent, and what was read is written and read again the same.
func FuzzOfficeRecord(f *testing.F) {
	f.Add([]byte(`{"kind":"device","device":"phone-1","properties":["a","b"],"authors":["R. Field"],"since":"2026-03-01T09:00:00Z","revoked":true}`))
	f.Add([]byte(`{"url":"https://register.example.org","since":"2026-03-01T09:00:00.5+10:00","number":3,"ranges":[{"first":1,"last":2}]}`))
	f.Add([]byte(`{"since":"9999-12-31T23:59:59-23:00","properties":"a","number":"x"}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		var fields map[string]json.RawMessage
		if json.Unmarshal(raw, &fields) != nil {
			return
		}
		for _, fresh := range []func() any{
			func() any { return new(deviceRecord) }, func() any { return new(propertyRecord) }, func() any { return new(codeRecord) },
			func() any { return new(linkRecord) }, func() any { return new(addressRecord) }, func() any { return new(intakeRecord) },
		} {
			record := fresh()
			readFields(fields, record)
			once, err := json.Marshal(record)
			if err != nil {
				t.Fatalf("%T of %q cannot be written: %v", record, raw, err)
			}
			again := fresh()
			if err := json.Unmarshal(once, again); err != nil {
				t.Fatalf("%T of %q is written as %s, which cannot be read: %v", record, raw, once, err)
			}
			if twice, err := json.Marshal(again); err != nil || !bytes.Equal(twice, once) {
				t.Fatalf("%T of %q is written as %s, and then as %s (%v)", record, raw, once, twice, err)
			}
		}
	})
}
