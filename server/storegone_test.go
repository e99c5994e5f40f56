package server

import (
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/sync/register"
	"headcut/sync/store/storetest"
)

// TestStoreThatFails: whatever is asked of a server whose store cannot be read is answered as its
// own trouble, in words, and nothing is taken for there or not there.
func TestStoreThatFails(t *testing.T) {
	s := newSite(t)
	as := s.enrolledAs(t, "phone1", "Ana", "Ridge Block")
	p := as.Properties[0]
	picture := quarters(t, 64, 48)
	sha := putBy(t, s, "phone1", picture)
	maker := &storetest.Maker{Property: p.ID, Device: "phone1"}
	if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{
		maker.Entry("dam", nil, "kind", `"check-dam"`, "name", `"Dam 1"`, "status", `"built"`, "photos", `["`+sha.String()+`"]`),
		maker.Entry("gone", nil, "kind", `"peg"`), maker.Strike("gone", nil, true),
	}); err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	link, photo := s.web.URL+"/map/"+secret, "/photos/"+sha.String()
	office := s.admin.URL + "/office/"
	type step struct{ method, url, body string }
	steps := []step{
		{"GET", link, ""}, {"GET", link + "/land.json", ""}, {"GET", link + "/blocks/x", ""}, {"GET", link + "/works.kml", ""}, {"GET", link + "/works.geojson", ""},
		{"GET", link + photo, ""}, {"GET", link + photo + "?small=1", ""},
		{"GET", s.web.URL + photo, ""}, {"GET", s.web.URL + photo + "?small=1", ""}, {"HEAD", s.web.URL + photo, ""},
		{"GET", office + "properties", ""}, {"GET", office + "devices", ""}, {"GET", office + "export?property=Ridge+Block&format=geojson", ""}, {"GET", office + "snapshot", ""},
		{"POST", office + "invite", `{"author":"Ben","properties":["Ridge Block"]}`}, {"POST", office + "invite", `{"author":"Ben","properties":["Flat"]}`}, {"POST", office + "invite", `{"again":"1"}`},
		{"POST", office + "widen", `{"device":"1","properties":["Flat"]}`}, {"POST", office + "label", `{"device":"1","label":"old"}`}, {"POST", office + "revoke", `{"device":"1"}`},
		{"POST", office + "revoke", `{"device":"1","properties":["Ridge Block"]}`}, {"POST", office + "share", `{"property":"Ridge Block","days":1}`}, {"POST", office + "unshare", `{"link":"1"}`},
		{"POST", office + "property", `{"do":"rename","which":"1","name":"Flat"}`}, {"POST", office + "restore?property=Ridge+Block&feature=gone", ""}, {"POST", office + "restore?property=Ridge+Block&feature=dam", ""},
		{"POST", office + "intake?file=x.csv&property=Ridge+Block", "latitude,longitude\n-22,147\n"}, {"POST", office + "intake?file=x.csv&property=Ridge+Block&new=1", "latitude,longitude\n-22,147\n"},
		{"POST", office + "intake?file=x.csv&property=Flat", "latitude,longitude\n-22,147\n"},
	}
	ask := func(one step) (*http.Response, string) {
		t.Helper()
		req, err := http.NewRequestWithContext(t.Context(), one.method, one.url, strings.NewReader(one.body))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Authorization", "Bearer "+as.Token)
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatalf("%s %s: %v", one.method, one.url, err)
		}
		defer res.Body.Close()
		var body strings.Builder
		var part [1 << 10]byte
		for n := 0; err == nil; {
			n, err = res.Body.Read(part[:])
			body.Write(part[:n])
		}
		return res, body.String()
	}
	if err := s.bolt.Close(); err != nil {
		t.Fatal(err)
	}
	for _, one := range steps {
		what := strings.NewReplacer(s.web.URL, "", s.admin.URL, "", secret, "SECRET", sha.String(), "SHA").Replace(one.method + " " + one.url)
		res, body := ask(one)
		if res.StatusCode < 500 && res.StatusCode != http.StatusConflict && res.StatusCode != http.StatusForbidden && res.StatusCode != http.StatusNoContent || one.method != "HEAD" && !strings.Contains(body, "could not do this") && !strings.Contains(body, "internal error") {
			t.Errorf("%s: %s %s", what, res.Status, body)
		}
		if strings.Contains(body, "store is closed") || strings.Contains(body, s.dir) {
			t.Errorf("%s tells of its store: %s", what, body)
		}
	}
}

// TestPhotosThatCannotBeRead: a photo that is no picture, and one whose bytes are gone.
func TestPhotosThatCannotBeRead(t *testing.T) {
	s := newSite(t)
	broken := append(quarters(t, 64, 48)[:200], "\xFF\xD9"...)
	address := photoOfLink(t, s, quarters(t, 64, 48))
	for _, size := range []string{"", "?small=1"} {
		if res, _ := get(t, address+size, ""); res.StatusCode != http.StatusOK {
			t.Fatalf("%s: %s", size, res.Status)
		}
	}
	sha := register.HashOf(quarters(t, 64, 48)).String()
	at := filepath.Join(s.dir, "photos", "photo", sha)
	if err := os.WriteFile(at, broken[:20], 0o600); err != nil {
		t.Fatal(err)
	}
	s.drawn = newDrawnPhotos()
	for _, size := range []string{"", "?small=1"} {
		if res, body := get(t, address+size, ""); res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(string(body), "the photo cannot be shown") {
			t.Errorf("a damaged photo%s: %s", size, res.Status)
		}
	}
	if err := os.Remove(at); err != nil {
		t.Fatal(err)
	}
	s.drawn = newDrawnPhotos()
	for _, size := range []string{"", "?small=1"} {
		if res, body := get(t, address+size, ""); res.StatusCode != http.StatusNotFound || !strings.Contains(string(body), "has not arrived yet") {
			t.Errorf("a photo that is gone%s: %s %s", size, res.Status, body)
		}
	}
	for n := range mostMaking { // as many as may be made at once
		s.drawn.making[drawing{register.Hash{byte(n), 1}, asSmall}] = &drawnPhoto{done: make(chan struct{})}
	}
	if res, body := get(t, address+"?small=1", ""); res.StatusCode != http.StatusServiceUnavailable || res.Header.Get("Retry-After") != "2" || !strings.Contains(string(body), "is making ready many photos") {
		t.Errorf("one too many: %s %s", res.Status, body)
	}
}

// TestPortsOfAddresses are from 1 to 65535, and left out where they are the scheme's own.
func TestPortsOfAddresses(t *testing.T) {
	for address, want := range map[string]string{"http://a:1": "http://a:1", "http://a:65535": "http://a:65535", "http://a:0": "", "http://a:65536": "", "http://a:80": "http://a", "https://a:443": "https://a",
		"http://a:443": "http://a:443", "https://a:80": "https://a:80", "http://[::1]:8080": "http://[::1]:8080", "https://[::1]": "https://[::1]", " HTTPS://A.B/ ": "https://a.b", "https://a:": "", "https://a/b": "",
		"https://a?b": "", "https://a#b": "", "https://u@a": "", "ftp://a": "", "https://": "", "a": "", "https://a_b": "", "https://a b": "", "": ""} {
		got, err := ServerAddress(address)
		if got != want || (err == nil) != (want != "") {
			t.Errorf("%q is %q, %v, want %q", address, got, err, want)
		}
	}
	for address, want := range map[string]bool{"https://a": true, "http://a": false, "https://localhost": false, "https://localhost:8443": false} {
		if staysSecure(address) != want {
			t.Errorf("%s stays secure: %t", address, !want)
		}
	}
}
