package server

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"
)

// A page that finds nothing on its phone is told where else to look, also after a restart.
func TestAddressesAreRemembered(t *testing.T) {
	s := newSite(t)
	var at whereabouts
	told := func() whereabouts {
		t.Helper()
		status, body := ask(t, "GET", s.web.URL+"/field/addresses.json", "")
		at = whereabouts{}
		if err := json.Unmarshal([]byte(body), &at); err != nil || status != 200 {
			t.Fatalf("addresses: %d %s", status, body)
		}
		return at
	}
	if told(); at.Address != "" || len(at.Earlier) != 0 {
		t.Errorf("a server that was told no address tells %+v, want none", at)
	}
	if got := s.EnrolAddress("A-B"); got != "" {
		t.Errorf("a server that was told no address sends phones to %q", got)
	}
	for _, step := range []struct {
		announce string
		earlier  []string // returned
		address  string
		all      []string
	}{
		{"https://Register.example.org/", nil, "https://register.example.org", nil},
		{"https://register.example.org", nil, "https://register.example.org", nil},
		{"https://works.example.org:8443", []string{"https://register.example.org"}, "https://works.example.org:8443", []string{"https://register.example.org"}},
		{"https://register.example.org", []string{"https://works.example.org:8443"}, "https://register.example.org", []string{"https://works.example.org:8443"}},
		{"http://10.1.1.5", []string{"https://register.example.org", "https://works.example.org:8443"}, "http://10.1.1.5", []string{"https://register.example.org", "https://works.example.org:8443"}},
	} {
		s.at = s.at.Add(time.Hour)
		earlier, err := s.Announce(t.Context(), step.announce)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(earlier, step.earlier) {
			t.Errorf("Announce(%s): got earlier %q, want %q", step.announce, earlier, step.earlier)
		}
		if told(); at.Address != step.address || !slices.Equal(at.Earlier, step.all) {
			t.Errorf("after Announce(%s): got %+v, want %s and %q", step.announce, at, step.address, step.all)
		}
	}
	before := told()
	s.shut()
	s = openSite(t, s.dir, s.at.Add(time.Hour))
	if told(); at.Address != before.Address || !slices.Equal(at.Earlier, before.Earlier) {
		t.Errorf("after a restart: got %+v, want %+v", at, before)
	}
	if got, want := s.EnrolAddress("A-B"), "http://10.1.1.5/field/#/enrol/A-B"; got != want {
		t.Errorf("EnrolAddress: got %q, want %q", got, want)
	}
	if got, want := s.EnrolDeskAddress("A-B"), "http://10.1.1.5/desk/#/enrol/A-B"; got != want {
		t.Errorf("EnrolDeskAddress: got %q, want %q", got, want)
	}
	for _, bad := range []string{"", "register.example.org", "ftp://x.org", "https://", "https://x.org/deep", "https://x.org?q", "https://u:p@x.org", "https://x.org#/a"} {
		if _, err := s.Announce(t.Context(), bad); err == nil {
			t.Errorf("Announce(%q): got no error, want one", bad)
		}
	}
}

func TestServerAddress(t *testing.T) {
	for given, want := range map[string]string{
		"https://Name.example": "https://name.example", "https://name.example:443/": "https://name.example", "http://10.0.0.1:8080": "http://10.0.0.1:8080",
		"https://[2001:DB8::1]:8443": "https://[2001:db8::1]:8443", " https://name ": "https://name",
		"name.example": "", "https://": "", "https://name:": "", "https://name:0": "", "https://name:99999": "", "https://a b": "", "ftp://name": "",
		"https://name/deep": "", "https://name?x": "", "https://u:p@name": "", "https://name,other": "", "https://*.name": "", "": "",
	} {
		if got, err := ServerAddress(given); got != want || (err == nil) != (want != "") {
			t.Errorf("ServerAddress(%q) = %q, %v; want %q", given, got, err, want)
		}
	}
}

// Behind something that asks the server under another name, a page of the address that the
// operator gave is one of ours, and a page of any other is not.
func TestSyncBehindAProxyThatRewritesHost(t *testing.T) {
	s := newSite(t)
	if _, err := s.Announce(t.Context(), "https://Register.example.org:443/"); err != nil {
		t.Fatal(err)
	}
	behind, err := url.Parse(s.web.URL)
	if err != nil {
		t.Fatal(err)
	}
	proxy := httptest.NewServer(&httputil.ReverseProxy{Rewrite: func(r *httputil.ProxyRequest) { r.SetURL(behind) }}) // SetURL rewrites Host
	t.Cleanup(proxy.Close)
	for origin, want := range map[string]bool{"https://register.example.org": true, "https://register.example.org.evil.example": false, "http://register.example.org": false, "": true, "https://evil.example": false} {
		header := http.Header{}
		if origin != "" {
			header.Set("Origin", origin)
		}
		conn, res, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(proxy.URL, "http")+"/sync", header)
		if (err == nil) != want {
			t.Errorf("from %q: %v (%v), want taken %v", origin, err, res, want)
		}
		if conn != nil {
			_ = conn.Close()
		}
	}
}
