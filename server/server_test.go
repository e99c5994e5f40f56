package server

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/model"
	"headcut/sync/store/boltstore"
	"headcut/viewer"
)

// site is a server on a store of its own, with a clock the test turns.
type site struct {
	*Server
	web   *httptest.Server
	admin *httptest.Server
	at    time.Time
	dir   string
	bolt  *boltstore.Store

	phones sync.Map // connections, which shut ends: a server that stops gives each two seconds to answer
}

func newSite(t testing.TB) *site {
	t.Helper()
	return openSite(t, t.TempDir(), time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC))
}

func openSite(t testing.TB, dir string, at time.Time) *site {
	t.Helper()
	s := &site{at: at, dir: dir}
	now := func() time.Time { return s.at }
	var err error
	s.bolt, err = boltstore.Open(filepath.Join(dir, "register.bolt"), boltstore.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	photos, err := boltstore.OpenPhotos(filepath.Join(dir, "photos"))
	if err != nil {
		t.Fatal(err)
	}
	s.Server, err = New(t.Context(), Config{Store: s.bolt, Photos: photos, Pages: viewer.Pages(), Computations: viewer.Computations(), Log: slog.New(slog.DiscardHandler), Now: now})
	if err != nil {
		t.Fatal(err)
	}
	s.web, s.admin = httptest.NewServer(s.Handler()), httptest.NewServer(s.Admin())
	t.Cleanup(s.shut)
	return s
}

func (s *site) shut() {
	for conn := range s.phones.Range {
		_ = conn.(*websocket.Conn).Close()
	}
	s.web.Close()
	s.admin.Close()
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	_ = s.Close(ctx)
	_ = s.bolt.Close()
}

// ask sends a request and returns the status and the body.
func ask(t *testing.T, method, url, body string) (int, string) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), method, url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	all, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, string(all)
}

func problemIn(t *testing.T, body string) model.Problem {
	t.Helper()
	var p model.Problem
	if err := json.Unmarshal([]byte(body), &p); err != nil || p.Reason == "" {
		t.Fatalf("answer %q is not a problem (%v)", body, err)
	}
	return p
}

func (s *site) invited(t *testing.T, property string) (Property, string) {
	t.Helper()
	p, _, err := s.PropertyOrNew(t.Context(), property)
	if err != nil {
		t.Fatal(err)
	}
	code, _, err := s.InviteDevice(t.Context(), "Officer", p)
	if err != nil {
		t.Fatal(err)
	}
	return p, code
}

func TestEnrol(t *testing.T) {
	const day = 24 * time.Hour
	tests := []struct {
		name   string
		change func(s *site, code string) string // the request's body
		status int
		path   string
	}{
		{"as-given", func(_ *site, code string) string { return `{"code":"` + code + `","device":"d1"}` }, 200, ""},
		{"as-heard", func(_ *site, code string) string {
			return `{"code":" ` + strings.ToUpper(strings.ReplaceAll(code, "-", " ")) + ` ","device":"d1","author":"Hand"}`
		}, 200, ""},
		{"wrong-code", func(*site, string) string { return `{"code":"00000-00000","device":"d1"}` }, 403, "code"},
		{"too-late", func(s *site, code string) string {
			s.at = s.at.Add(day + time.Second)
			return `{"code":"` + code + `","device":"d1"}`
		}, 403, "code"},
		{"bad-device", func(_ *site, code string) string { return `{"code":"` + code + `","device":"Pho ne"}` }, 403, "device"},
		{"no-device", func(_ *site, code string) string { return `{"code":"` + code + `"}` }, 403, "device"},
		{"not-json", func(*site, string) string { return `code=1` }, 400, ""},
		{"unknown-member", func(_ *site, code string) string { return `{"code":"` + code + `","device":"d1","admin":true}` }, 400, ""},
		{"two-objects", func(_ *site, code string) string { return `{"code":"` + code + `","device":"d1"}{}` }, 400, ""},
		{"huge", func(*site, string) string { return `{"code":"` + strings.Repeat("a", 2<<20) + `"}` }, 400, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := newSite(t)
			p, code := s.invited(t, "Saltbush Flat")
			status, body := ask(t, "POST", s.web.URL+"/enrol", test.change(s, code))
			if status != test.status {
				t.Fatalf("enrolling answered %d %s, want %d", status, body, test.status)
			}
			if status != 200 {
				if got := problemIn(t, body); got.Path != test.path {
					t.Errorf("problem is about %q, want %q: %v", got.Path, test.path, &got)
				}
				return
			}
			var got enrolAnswer
			if err := json.Unmarshal([]byte(body), &got); err != nil {
				t.Fatal(err)
			}
			grant, err := s.admitToSync(t.Context(), got.Token)
			if err != nil || grant.Device != "d1" || len(grant.Properties) != 1 || grant.Properties[0] != p.ID {
				t.Errorf("token gives %+v, %v; want device d1 on %s", grant, err, p.ID)
			}
		})
	}
}

func TestCodeWorksOnce(t *testing.T) {
	s := newSite(t)
	_, code := s.invited(t, "Saltbush Flat")
	if status, body := ask(t, "POST", s.web.URL+"/enrol", `{"code":"`+code+`","device":"d1"}`); status != 200 {
		t.Fatalf("first use answered %d %s", status, body)
	}
	status, body := ask(t, "POST", s.web.URL+"/enrol", `{"code":"`+code+`","device":"d2"}`)
	if p := problemIn(t, body); status != 403 || !strings.Contains(p.Reason, "used") {
		t.Errorf("second use answered %d %v, want 403 and that it was used", status, &p)
	}
}

// A phone whose answer was lost asks the same again and is granted the same; nobody else is.
func TestEnrolmentRepeated(t *testing.T) {
	const mine = "0123456789abcdefghijklmnopqrstuvwxyz"
	request := func(code, device, token string) string {
		return `{"code":"` + code + `","device":"` + device + `","author":"Hand","token":"` + token + `"}`
	}
	tests := []struct {
		name   string
		before func(t *testing.T, s *site, code string) // what came of the first request
		device string
		token  string
		status int
		path   string
	}{
		{"answer-lost", nil, "d1", mine, 200, ""},
		{"a-week-later", func(_ *testing.T, s *site, _ string) { s.at = s.at.Add(7 * 24 * time.Hour) }, "d1", mine, 200, ""},
		{"other-device", nil, "d2", mine, 403, "code"},
		{"other-secret", nil, "d1", strings.Repeat("x", 32), 403, "code"},
		{"no-secret", nil, "d1", "", 403, "code"},
		{"short-secret", nil, "d1", "abc", 403, "token"},
		{"revoked", func(t *testing.T, s *site, _ string) {
			if _, err := s.RevokeDevice(t.Context(), "d1"); err != nil {
				t.Fatal(err)
			}
		}, "d1", mine, 403, "token"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := newSite(t)
			p, code := s.invited(t, "Saltbush Flat")
			if status, body := ask(t, "POST", s.web.URL+"/enrol", request(code, "d1", mine)); status != 200 {
				t.Fatalf("the first request answered %d %s", status, body)
			}
			if test.before != nil {
				test.before(t, s, code)
			}
			status, body := ask(t, "POST", s.web.URL+"/enrol", request(code, test.device, test.token))
			if status != test.status {
				t.Fatalf("asked again it answered %d %s, want %d", status, body, test.status)
			}
			if status != 200 {
				if got := problemIn(t, body); got.Path != test.path {
					t.Errorf("problem is about %q, want %q", got.Path, test.path)
				}
				return
			}
			var got enrolAnswer
			if err := json.Unmarshal([]byte(body), &got); err != nil || got.Token != mine || got.Author != "Officer" || len(got.Properties) != 1 || got.Properties[0] != p {
				t.Errorf("asked again it grants %+v (%v), want the phone's own secret on %v", got, err, p)
			}
			if grant, err := s.admitToSync(t.Context(), mine); err != nil || grant.Device != "d1" {
				t.Errorf("the secret gives %+v, %v; want device d1", grant, err)
			}
		})
	}
}

// The server may end after the code is spent and before the device is written: the phone
// that spent it is granted what is missing.
func TestServerEndedWhileEnrolling(t *testing.T) {
	const mine = "0123456789abcdefghijklmnopqrstuvwxyz"
	s := newSite(t)
	p, code := s.invited(t, "Saltbush Flat")
	o := s.office
	o.writing.Lock()
	err := o.write(t.Context(), "Officer", changed(o.codes.one(bySecret, digest(heard(code))), func(c *codeRecord) {
		c.UsedOn, c.UsedBy, c.UsedToken = second(s.at), "d1", digest(mine)
	}))
	o.writing.Unlock()
	if err != nil {
		t.Fatal(err)
	}
	if status, body := ask(t, "POST", s.web.URL+"/enrol", `{"code":"`+code+`","device":"d1","token":"`+mine+`"}`); status != 200 {
		t.Fatalf("asked again it answered %d %s", status, body)
	}
	if grant, err := s.admitToSync(t.Context(), mine); err != nil || len(grant.Properties) != 1 || grant.Properties[0] != p.ID {
		t.Errorf("the secret gives %+v, %v; want %s", grant, err, p.ID)
	}
}

func TestRightsOutliveARestartAndEndWhenRevoked(t *testing.T) {
	s := newSite(t)
	p, code := s.invited(t, "Saltbush Flat")
	_, body := ask(t, "POST", s.web.URL+"/enrol", `{"code":"`+code+`","device":"d1"}`)
	var enrolled enrolAnswer
	if err := json.Unmarshal([]byte(body), &enrolled); err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.AddDate(0, 0, 7))
	if err != nil {
		t.Fatal(err)
	}
	s.shut()
	again := openSite(t, s.dir, s.at)
	if _, err := again.admitToSync(t.Context(), enrolled.Token); err != nil {
		t.Errorf("after a restart the device's token gives %v", err)
	}
	if got, state := again.link(t.Context(), secret); state != linkOpen || got != p {
		t.Errorf("after a restart the link gives %v in state %v, want %v open", got, state, p)
	}
	if _, err := again.RevokeDevice(t.Context(), "d1"); err != nil {
		t.Fatal(err)
	}
	if _, err := again.admitToSync(t.Context(), enrolled.Token); err == nil {
		t.Error("a revoked device is still admitted")
	}
	if _, err := again.RevokeDevice(t.Context(), "nobody"); err == nil {
		t.Error("revoking a device that is not there gives no problem")
	}
}

func TestSecretsAreNotInTheStore(t *testing.T) {
	s := newSite(t)
	p, code := s.invited(t, "Saltbush Flat")
	_, body := ask(t, "POST", s.web.URL+"/enrol", `{"code":"`+code+`","device":"d1"}`)
	var enrolled enrolAnswer
	if err := json.Unmarshal([]byte(body), &enrolled); err != nil {
		t.Fatal(err)
	}
	link, err := s.Share(t.Context(), p, "", s.at.AddDate(0, 0, 7))
	if err != nil {
		t.Fatal(err)
	}
	var copied bytes.Buffer
	if err := s.bolt.Snapshot(t.Context(), &copied); err != nil {
		t.Fatal(err)
	}
	for name, secret := range map[string]string{"code": code, "heard code": heard(code), "token": enrolled.Token, "link": link} {
		if bytes.Contains(copied.Bytes(), []byte(secret)) {
			t.Errorf("the %s %q stands in the store", name, secret)
		}
	}
	if !bytes.Contains(copied.Bytes(), []byte(digest(link))) {
		t.Error("the store lacks the link's hash: the search above proves nothing")
	}
}

func TestLinks(t *testing.T) {
	s := newSite(t)
	p, _ := s.invited(t, "Saltbush Flat")
	secret, err := s.Share(t.Context(), p, "", s.at.AddDate(0, 0, 7))
	if err != nil {
		t.Fatal(err)
	}
	link := s.web.URL + "/map/" + secret
	get := func(url string) int { status, _ := ask(t, "GET", url, ""); return status }
	for _, path := range []string{"", "/land.json", "/works.geojson", "/works.kml"} {
		if status := get(link + path); status != 200 {
			t.Errorf("an open link's %q answers %d, want 200", path, status)
		}
	}
	for _, path := range []string{"/works.zip", "/notes.kml", "/works"} {
		if status := get(link + path); status != 404 {
			t.Errorf("an open link's %q answers %d, want 404", path, status)
		}
	}
	for _, path := range []string{"", "/land.json", "/works.geojson"} {
		if status := get(s.web.URL + "/map/guess" + path); status != 404 {
			t.Errorf("a guessed link's %q answers %d, want 404", path, status)
		}
	}
	if _, err := s.RevokeLink(t.Context(), secret); err != nil {
		t.Fatal(err)
	}
	if status := get(link + "/land.json"); status != http.StatusGone {
		t.Errorf("a link taken back answers %d, want 410", status)
	}
	short, err := s.Share(t.Context(), p, "", s.at.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	s.at = s.at.Add(2 * time.Hour)
	if status := get(s.web.URL + "/map/" + short + "/land.json"); status != http.StatusGone {
		t.Errorf("a link that has run out answers %d, want 410", status)
	}
	for _, link := range []string{"guess", secret, short} {
		if status, body := ask(t, "GET", s.web.URL+"/map/"+link, ""); status == 200 || !strings.Contains(body, "<html") {
			t.Errorf("the page of the link %q answered %d %.40q; want the page, which words what is wrong, and not 200", link, status, body)
		}
	}
	if _, err := s.Share(t.Context(), p, "", s.at); err == nil {
		t.Error("a link that ends now was made")
	}
}

func TestHeaders(t *testing.T) {
	s := newSite(t)
	for _, path := range []string{"/", "/map/guess", "/compute", "/assets/none.js", "/nothing"} {
		res, err := http.Get(s.web.URL + path)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		csp := res.Header.Get("Content-Security-Policy")
		if !strings.Contains(csp, "default-src 'none'") || strings.Contains(csp, "unsafe") {
			t.Errorf("%s has the content policy %q", path, csp)
		}
		if res.Header.Get("Referrer-Policy") != "no-referrer" || res.Header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s lacks headers: %v", path, res.Header)
		}
	}
}

func TestComputeOverHTTP(t *testing.T) {
	s := newSite(t)
	tests := []struct {
		name, path, body string
		status           int
		want             string
	}{
		{"answers", "/compute/staff-reading", `{"instrumentLevelM":101.842,"targetLevelM":100.187}`, 200, `"readingM":1.655`},
		{"unknown", "/compute/nothing", `{}`, 404, "nothing"},
		{"names-the-field", "/compute/staff-reading", `{"instrumentLevelM":"high","targetLevelM":1}`, 422, "instrumentLevelM"},
		{"not-json", "/compute/line", `<xml>`, 422, "reason"},
		{"list", "/compute/", ``, 404, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			status, body := ask(t, "POST", s.web.URL+test.path, test.body)
			if status != test.status || !strings.Contains(body, test.want) {
				t.Errorf("POST %s %s answered %d %s, want %d with %s", test.path, test.body, status, body, test.status, test.want)
			}
		})
	}
	status, body := ask(t, "GET", s.web.URL+"/compute", "")
	for _, name := range []string{"line", "area", "level-run", "staff-reading", "long-section", "dam-layout", "dam-check", "contour-check", "rip-area"} {
		if status != 200 || !strings.Contains(body, `"`+name+`"`) {
			t.Errorf("GET /compute answered %d without %s", status, name)
		}
	}
}

func TestLinkExportHoldsOnlyWhatMayLeave(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Saltbush Flat")
	if err != nil {
		t.Fatal(err)
	}
	file := `{"type":"FeatureCollection","features":[
		{"type":"Feature","geometry":{"type":"Point","coordinates":[144.2,-19.1]},"properties":{"kind":"check-dam","name":"Dam 1","status":"built","builtOn":"2025-06-01","crestHeightM":0.4,"spentHours":77123,"spentCost":88123,"notes":"PRIVATE-notes"}},
		{"type":"Feature","geometry":{"type":"Point","coordinates":[144.3,-19.2]},"properties":{"kind":"check-dam","name":"PRIVATE-dam","status":"built","sensitive":true}},
		{"type":"Feature","geometry":{"type":"Point","coordinates":[144.4,-19.3]},"properties":{"kind":"benchmark","name":"PRIVATE-mark","levelM":100}}]}`
	status, body := ask(t, "POST", s.admin.URL+"/office/intake?property=Saltbush+Flat&file=x.geojson", file)
	if status != 200 || !strings.Contains(body, `"new":3`) {
		t.Fatalf("intake answered %d %s", status, body)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.AddDate(0, 0, 7))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"/works.geojson", "/works.kml", "/land.json"} {
		status, body := ask(t, "GET", s.web.URL+"/map/"+secret+name, "")
		if status != 200 || !strings.Contains(body, "Dam 1") || strings.Contains(body, "PRIVATE") || strings.Contains(body, "7123") || strings.Contains(body, "8123") || !strings.Contains(body, "2025") {
			t.Errorf("%s answered %d; want Dam 1 and nothing private in %s", name, status, body)
		}
	}
	_, whole := ask(t, "GET", s.admin.URL+"/office/export?property=saltbush+flat&format=geojson", "")
	if strings.Count(whole, "PRIVATE") != 3 || !strings.Contains(whole, "77123") || !strings.Contains(whole, "88123") {
		t.Errorf("the office's export names %d private things, want 3: the search above proves nothing", strings.Count(whole, "PRIVATE"))
	}
}
