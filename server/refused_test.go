package server

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"headcut/sync/store"
)

// Who is let in and who is turned away stands in the log, without the secret that was tried,
// and a flood does not fill it.
func TestLogTellsWhoWasTurnedAway(t *testing.T) {
	s := newSite(t)
	var written bytes.Buffer
	s.log = slog.New(slog.NewTextHandler(&written, nil))
	_, code := s.invited(t, "Saltbush Flat")
	const guess = "guessed\nlevel=ERROR"
	ask(t, "POST", s.web.URL+"/enrol", `{"code":"zzzzz-zzzzz","device":"phone-1"}`)
	ask(t, "GET", s.web.URL+"/map/guessed%0Alevel=ERROR", "")
	ask(t, "GET", s.web.URL+"/map/guessed/works.kml", "")
	ask(t, "GET", s.web.URL+"/photos/"+strings.Repeat("0", 64), "")
	ask(t, "POST", s.web.URL+"/enrol", `{"code":"`+code+`","device":"phone-1","token":"`+strings.Repeat("a", 40)+`"}`)
	for range 3 * refusalsLogged {
		ask(t, "GET", s.web.URL+"/map/guessed", "")
	}
	ask(t, "GET", s.web.URL+"/nothing", "")
	s.web.Close() // waits for what is still being answered
	log := written.String()
	for _, want := range []string{
		`msg=refused route="POST /enrol" status=403 from=127.0.0.1`,
		`msg=refused route="GET /map/{link}" status=404 from=127.0.0.1`,
		`msg=refused route="GET /map/{link}/{file}" status=404 from=127.0.0.1`,
		`msg=refused route=/photos/{sha} status=401 from=127.0.0.1`,
		`msg="device enrolled" device=phone-1 from=127.0.0.1`,
	} {
		if !strings.Contains(log, want) {
			t.Errorf("the log lacks %s", want)
		}
	}
	for _, secret := range []string{"guessed", guess, code, "zzzzz", strings.Repeat("a", 40), "/nothing"} {
		if strings.Contains(log, secret) {
			t.Errorf("the log has %q", secret)
		}
	}
	if n := strings.Count(log, "msg=refused"); n != refusalsLogged {
		t.Errorf("%d refusals of an address are logged in a minute, want %d", n, refusalsLogged)
	}
	for line := range strings.Lines(log) {
		if !strings.HasPrefix(line, "time=2") {
			t.Errorf("a line of the log without its time: %s", line)
		}
	}
}

// What a browser must know of every answer is on all of them, and no answer sets a cookie.
func TestEveryAnswerIsHardened(t *testing.T) {
	s := newSite(t)
	want := map[string]string{
		"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer",
		"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin",
	}
	for _, method := range []string{"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"} {
		for _, path := range []string{"/", "/field/", "/field/worker.js", "/map/guess", "/map/guess/land.json", "/map/guess/works.kml", "/compute", "/compute/line", "/enrol", "/sync", "/photos/0", "/assets/none.js", "/.git/config", "/field/assets/", "/nothing"} {
			req, err := http.NewRequestWithContext(t.Context(), method, s.web.URL+path, strings.NewReader("{}"))
			if err != nil {
				t.Fatal(err)
			}
			req.Header.Set("Origin", "https://other.example")
			req.Header.Set("X-Probe", "echoed")
			res, err := http.DefaultClient.Do(req)
			if err != nil {
				t.Fatal(err)
			}
			var body bytes.Buffer
			_, _ = body.ReadFrom(res.Body) // what came is looked at
			res.Body.Close()
			for name, value := range want {
				if res.Header.Get(name) != value {
					t.Errorf("%s %s has %s: %q, want %q", method, path, name, res.Header.Get(name), value)
				}
			}
			policy := res.Header.Get("Content-Security-Policy")
			for _, part := range []string{"default-src 'none'", "base-uri 'none'", "frame-ancestors 'none'", "form-action 'none'"} {
				if !strings.Contains(policy, part) {
					t.Errorf("%s %s has the content policy %q without %s", method, path, policy, part)
				}
			}
			if res.Header.Get("Set-Cookie") != "" || res.Header.Get("Access-Control-Allow-Origin") != "" {
				t.Errorf("%s %s sets a cookie or lets other pages read it: %v", method, path, res.Header)
			}
			if method == "TRACE" && res.StatusCode < 400 || strings.Contains(body.String(), "echoed") {
				t.Errorf("%s %s answers %d %s", method, path, res.StatusCode, &body)
			}
			if (strings.HasPrefix(path, "/.") || path == "/field/assets/") && res.StatusCode < 400 {
				t.Errorf("%s %s answers %d: a listing, or a file that no page is built of", method, path, res.StatusCode)
			}
			if body.Len() > 0 && res.Header.Get("Content-Type") == "" {
				t.Errorf("%s %s has a body of no type", method, path)
			}
		}
	}
}

// A browser that has opened the server by https does not come back by http, also where
// something in front of the server adds TLS; on plain HTTP nothing is promised.
func TestSecureAddressStaysSecure(t *testing.T) {
	s := newSite(t)
	said := func() string {
		res, err := http.Get(s.web.URL + "/")
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		return res.Header.Get("Strict-Transport-Security")
	}
	if got := said(); got != "" {
		t.Errorf("before an address is known: %q, want nothing", got)
	}
	for _, step := range []struct{ address, want string }{
		{"http://headcut.example.org", ""},
		{"https://headcut.example.org", "max-age=31536000; includeSubDomains"},
		{"https://localhost:8443", ""}, // it would shut every other server of this machine out
		{"https://headcut.example.org", "max-age=31536000; includeSubDomains"},
	} {
		if _, err := s.Announce(t.Context(), step.address); err != nil {
			t.Fatal(err)
		}
		if got := said(); got != step.want {
			t.Errorf("at %s: %q, want %q", step.address, got, step.want)
		}
	}
}

// What goes wrong inside is in the log with its cause, and the answer tells nothing of it.
func TestTroubleIsLoggedAndNotTold(t *testing.T) {
	for name, fail := range map[string]func() error{
		"an error": func() error { return errors.New("page 7 is torn") },
		"a panic":  func() error { panic("page 7 is torn") },
	} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t)
			var written bytes.Buffer
			s.log = slog.New(slog.NewTextHandler(&written, nil))
			ask(t, "POST", s.admin.URL+"/office/intake?property=Saltbush&file=x.geojson", points(3))
			s.store = &faulty{Register: s.bolt, fail: fail}
			status, body := ask(t, "GET", s.admin.URL+"/office/export?format=geojson&property=Saltbush", "")
			if status != http.StatusInternalServerError || strings.Contains(body, "torn") || strings.Contains(body, ".go:") {
				t.Errorf("it answers %d %s, want 500 and nothing of its inside", status, body)
			}
			s.admin.Close()
			if log := written.String(); !strings.Contains(log, "level=ERROR") || !strings.Contains(log, "page 7 is torn") || !strings.Contains(log, `route="GET /office/export"`) {
				t.Errorf("the log tells no cause or route: %s", log)
			}
		})
	}
}

// The office, which can mend it, is told of a damaged register and of a full disk.
func TestOfficeIsToldOfItsFolder(t *testing.T) {
	for name, c := range map[string]struct {
		err  error
		want []string
	}{
		"damaged": {fmt.Errorf("%w: page 7 is torn", store.ErrDamaged), []string{"the register in works is damaged (page 7 is torn)", "restore --salvage --from works"}},
		"stopped": {fmt.Errorf("%w (no flush)", store.ErrStopped), []string{"takes nothing more", "headcut verify --data works"}},
		"full":    {fmt.Errorf("%w (no space left)", store.ErrFull), []string{"the disk that works is on is full", "make room"}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t)
			s.folder = "works"
			ask(t, "POST", s.admin.URL+"/office/intake?property=Saltbush&file=x.geojson", points(3))
			s.store = &faulty{Register: s.bolt, fail: func() error { return c.err }}
			status, body := ask(t, "GET", s.admin.URL+"/office/export?format=geojson&property=Saltbush", "")
			for _, want := range c.want {
				if status != http.StatusInternalServerError || !strings.Contains(body, want) || strings.Contains(body, "send it again") {
					t.Errorf("it answers %d %s, want %q", status, body, want)
				}
			}
		})
	}
}

// Something in front of the server that counts a message otherwise smuggles no second request
// in: one with two lengths is refused, or read by its chunks and nothing after it is answered.
func TestMessagesEndInOnePlace(t *testing.T) {
	s := newSite(t)
	const second = "GET /smuggled HTTP/1.1\r\nHost: x\r\n\r\n"
	for name, headers := range map[string]string{
		"two-content-lengths":    "Content-Length: 2\r\nContent-Length: 40\r\n\r\n{}" + second,
		"length-and-chunks":      "Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n" + second,
		"chunks-of-another-kind": "Transfer-Encoding: xchunked\r\n\r\n0\r\n\r\n" + second,
		"a-length-below-nothing": "Content-Length: -2\r\n\r\n{}" + second,
		"a-space-before-a-colon": "Content-Length : 2\r\n\r\n{}" + second,
	} {
		t.Run(name, func(t *testing.T) {
			conn, err := net.Dial("tcp", strings.TrimPrefix(s.web.URL, "http://"))
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			if _, err := io.WriteString(conn, "POST /compute/line HTTP/1.1\r\nHost: x\r\n"+headers); err != nil {
				t.Fatal(err)
			}
			_ = conn.SetReadDeadline(time.Now().Add(time.Minute)) // not reached
			got, err := io.ReadAll(conn)                          // ends, since the server ends the connection
			if err != nil {
				t.Fatal(err)
			}
			if n := strings.Count(string(got), "HTTP/1.1 "); n != 1 || !strings.HasPrefix(string(got), "HTTP/1.1 4") && !strings.HasPrefix(string(got), "HTTP/1.1 501") {
				t.Errorf("%d answers, want one that refuses: %s", n, got)
			}
		})
	}
}
