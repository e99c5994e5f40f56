package server

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/pace"
)

// TestWrongCodesLockNobodyOut: whatever wrong codes came before, also from the same address and
// many at once, a right one is taken; few of the wrong ones are answered as wrong.
func TestWrongCodesLockNobodyOut(t *testing.T) {
	s := newSite(t)
	_, code := s.invited(t, "Saltbush Flat")
	answers := make(map[int]int)
	var mu sync.Mutex
	var all sync.WaitGroup
	for i := range 200 {
		all.Go(func() {
			status, _ := ask(t, "POST", s.web.URL+"/enrol", fmt.Sprintf(`{"code":"zzzzz-%05d","device":"d1"}`, i))
			mu.Lock()
			defer mu.Unlock()
			answers[status]++
		})
	}
	all.Wait()
	if answers[http.StatusForbidden] != wrongOfAddress || answers[http.StatusTooManyRequests] != 200-wrongOfAddress {
		t.Errorf("200 wrong codes at once were answered %v, want %d times 403 and else 429", answers, wrongOfAddress)
	}
	if status, body := ask(t, "POST", s.web.URL+"/enrol", `{"code":"`+code+`","device":"d1"}`); status != http.StatusOK {
		t.Errorf("after 200 wrong codes the right one is answered %d %s, want it taken", status, body)
	}
	s.at = s.at.Add(time.Minute)
	if status, _ := ask(t, "POST", s.web.URL+"/enrol", `{"code":"zzzzz-zzzzz","device":"d1"}`); status != http.StatusForbidden {
		t.Errorf("a minute later a wrong code is answered %d, want 403", status)
	}
}

// TestRightCodeAfterManyWrongOnes: who has a right code, and an id or secret that is not, is told so, however
// many wrong codes came before.
func TestRightCodeAfterManyWrongOnes(t *testing.T) {
	s := newSite(t)
	_, code := s.invited(t, "Saltbush Flat")
	try := func(code, device, token string) (int, string) {
		t.Helper()
		return ask(t, "POST", s.web.URL+"/enrol", fmt.Sprintf(`{"code":%q,"device":%q,"token":%q}`, code, device, token))
	}
	for i := range 2 * wrongOfAddress {
		try(fmt.Sprintf("zzzzz-%05d", i), "d1", "")
	}
	for range wrongOfCode + 5 {
		if status, body := try(code, "No Id", ""); status != http.StatusForbidden || !strings.Contains(body, "is not a device id") {
			t.Fatalf("a right code with a bad id is answered %d %s", status, body)
		}
		if status, body := try(code, "d1", "short"); status != http.StatusForbidden || !strings.Contains(body, "is not a device's secret") {
			t.Fatalf("a right code with a bad secret is answered %d %s", status, body)
		}
	}
	if status, body := try("zzzzz-zzzzz", "No Id", ""); status != http.StatusTooManyRequests {
		t.Errorf("a wrong code with a bad id is answered %d %s, want 429", status, body)
	}
	if status, body := try(code, "d1", ""); status != http.StatusOK {
		t.Errorf("the right one is answered %d %s", status, body)
	}
}

// TestUnroutedInJSON: what is at no address, or not for a method, is refused as a Problem.
func TestUnroutedInJSON(t *testing.T) {
	s := newSite(t)
	for _, test := range []struct {
		method, at string
		status     int
		want       string
	}{
		{"GET", "/nope", http.StatusNotFound, "there is nothing at this address"},
		{"GET", "/assets/nope.js", http.StatusNotFound, "there is nothing at this address"},
		{"GET", "/assets/field.html", http.StatusNotFound, "there is nothing at this address"},
		{"GET", "/enrol", http.StatusMethodNotAllowed, "GET is not for this address"},
		{"PUT", "/compute/line", http.StatusMethodNotAllowed, "PUT is not for this address"},
		{"POST", "/sync", http.StatusMethodNotAllowed, "POST is not for this address"},
		{"GET", "/sync", http.StatusBadRequest, "by WebSocket alone"},
	} {
		req, err := http.NewRequest(test.method, s.web.URL+test.at, nil)
		if err != nil {
			t.Fatal(err)
		}
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		var problem model.Problem
		err = json.NewDecoder(res.Body).Decode(&problem)
		res.Body.Close()
		if res.StatusCode != test.status || err != nil || !strings.Contains(problem.Reason, test.want) || problem.Fix == "" || res.Header.Get("Content-Type") != "application/json" {
			t.Errorf("%s %s is answered %d %s, %+v (%v)", test.method, test.at, res.StatusCode, res.Header.Get("Content-Type"), problem, err)
		}
		if test.status == http.StatusMethodNotAllowed && res.Header.Get("Allow") == "" {
			t.Errorf("%s %s: no method is named", test.method, test.at)
		}
	}
}

// TestOneWrongCodeIsCounted, from however many addresses it comes.
func TestOneWrongCodeIsCounted(t *testing.T) {
	s := newSite(t)
	s.proxies, _ = ParseProxies("127.0.0.1")
	held := 0
	for i := range wrongOfCode + 5 {
		req, err := http.NewRequest("POST", s.web.URL+"/enrol", strings.NewReader(`{"code":"zzzzz-zzzzz","device":"d1"}`))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("X-Forwarded-For", fmt.Sprintf("198.51.100.%d", i))
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if res.StatusCode == http.StatusTooManyRequests {
			held++
		}
	}
	if held != 5 {
		t.Errorf("%d of %d tries of one wrong code were held back, want 5", held, wrongOfCode+5)
	}
}

// TestForwardedForLiftsNoLimit: on a server that knows no proxy, whoever is on its machine writes whom it asks
// for as it likes. All of them together have one limit, and a right code is taken beyond it.
func TestForwardedForLiftsNoLimit(t *testing.T) {
	s := newSite(t)
	p, _, err := s.PropertyOrNew(t.Context(), "Ridge Block")
	if err != nil {
		t.Fatal(err)
	}
	code, _, err := s.InviteDevice(t.Context(), "Kim", p)
	if err != nil {
		t.Fatal(err)
	}
	try := func(i int, code string) int {
		req, err := http.NewRequest("POST", s.web.URL+"/enrol", strings.NewReader(`{"code":"`+code+`","device":"d1"}`))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("X-Forwarded-For", fmt.Sprintf("198.51.100.%d, 203.0.113.%d", i, i))
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		return res.StatusCode
	}
	answers := map[int]int{}
	for i := range 120 {
		answers[try(i, fmt.Sprintf("zzzzz-zz%03d", i))]++
	}
	if answers[http.StatusTooManyRequests] != 80 || answers[http.StatusForbidden] != 40 {
		t.Errorf("120 wrong codes from as many made-up addresses were answered %v, want 40 times 403 and 80 times 429", answers)
	}
	if got := try(0, code); got != http.StatusOK {
		t.Errorf("the right code is answered %d, want it taken", got)
	}
}

// hasty lets nobody take long.
var hasty = pace.Rule{Silence: 300 * time.Millisecond, Grace: time.Second, BytesPerS: 1 << 20}

// TestBodiesHaveToCome: a body that hardly comes, or that nobody waits for, does not hold its
// connection.
func TestBodiesHaveToCome(t *testing.T) {
	for _, test := range []struct{ name, request string }{
		{"an enrolment that stands still", "POST /enrol HTTP/1.1\r\nHost: x\r\nContent-Length: 1000\r\n\r\n{"},
		{"a computation that stands still", "POST /compute/line HTTP/1.1\r\nHost: x\r\nContent-Length: 1000\r\n\r\n"},
		{"one in chunks", "POST /compute/line HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n1\r\n{\r\n"},
		{"one to no address", "POST /nowhere HTTP/1.1\r\nHost: x\r\nContent-Length: 1000\r\n\r\n"},
		{"a photo refused before it comes", "PATCH /photos/x HTTP/1.1\r\nHost: x\r\nContent-Length: 1000\r\n\r\n"},
	} {
		for _, drip := range []bool{false, true} {
			t.Run(fmt.Sprint(test.name, ", dripping: ", drip), func(t *testing.T) {
				s := newSite(t)
				s.pace = hasty
				conn, err := net.Dial("tcp", s.web.Listener.Addr().String())
				if err != nil {
					t.Fatal(err)
				}
				defer conn.Close()
				if _, err := io.WriteString(conn, test.request); err != nil {
					t.Fatal(err)
				}
				if drip {
					go func() {
						for {
							if _, err := io.WriteString(conn, " "); err != nil {
								return
							}
							time.Sleep(50 * time.Millisecond)
						}
					}()
				}
				_ = conn.SetReadDeadline(time.Now().Add(20 * time.Second))
				if _, err := io.Copy(io.Discard, conn); err != nil && isTimeout(err) {
					t.Error("the connection is still open after 20 s")
				}
			})
		}
	}
}

func isTimeout(err error) bool {
	timeout, ok := err.(net.Error)
	return ok && timeout.Timeout()
}

// TestAnswersHaveToBeRead: an answer that nobody reads ends, and one that is read slowly does
// not, however long it takes.
func TestAnswersHaveToBeRead(t *testing.T) {
	for _, read := range []bool{false, true} {
		t.Run(fmt.Sprint("read: ", read), func(t *testing.T) {
			s := newSite(t)
			s.pace = pace.Rule{Silence: time.Second, Grace: time.Second, BytesPerS: 1}
			ended := make(chan error, 1)
			web := httptest.NewServer(s.paced(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
				piece := make([]byte, 1<<20)
				var err error
				for began := time.Now(); err == nil && time.Since(began) < 4*time.Second; {
					_, err = w.Write(piece)
				}
				ended <- err
			})))
			defer web.Close()
			conn, err := net.Dial("tcp", web.Listener.Addr().String())
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			_, _ = io.WriteString(conn, "GET / HTTP/1.1\r\nHost: x\r\n\r\n")
			if read {
				go func() {
					for buffer := make([]byte, 1<<20); ; time.Sleep(20 * time.Millisecond) {
						if _, err := conn.Read(buffer); err != nil {
							return
						}
					}
				}()
			}
			select {
			case err := <-ended:
				if (err == nil) != read {
					t.Errorf("the answer ended with %v", err)
				}
			case <-time.After(20 * time.Second):
				t.Error("the answer is still being written after 20 s")
			}
		})
	}
}

// TestGate: too many connections of one address end its oldest idle one; others stay.
func TestGate(t *testing.T) {
	s := newSite(t)
	web := httptest.NewUnstartedServer(s.Handler())
	web.Config.ConnState = s.Gate().ConnState
	web.Start()
	defer web.Close()
	var dialer net.Dialer
	dialer.LocalAddr = &net.TCPAddr{IP: net.IPv4(127, 0, 0, 2)}
	other, err := dialer.DialContext(context.Background(), "tcp", web.Listener.Addr().String())
	if err != nil {
		t.Fatal("this test needs the loopback address 127.0.0.2, which Linux has and macOS is given by `sudo ifconfig lo0 alias 127.0.0.2`: ", err)
	}
	defer other.Close()
	answered := func(conn net.Conn) bool {
		_ = conn.SetDeadline(time.Now().Add(20 * time.Second))
		_, _ = io.WriteString(conn, "GET /field/addresses.json HTTP/1.1\r\nHost: x\r\n\r\n")
		res, err := http.ReadResponse(bufio.NewReader(conn), nil)
		if err == nil {
			res.Body.Close()
		}
		return err == nil && res.StatusCode == http.StatusOK
	}
	if !answered(other) {
		t.Fatal("the first connection is not answered")
	}
	var conns []net.Conn
	for i := range guestsOfAddress + 3 {
		if i == guestsOfAddress {
			time.Sleep(guestsLinger + 100*time.Millisecond) // before it, many may come at once
		}
		conn, err := net.Dial("tcp", web.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		conns = append(conns, conn)
	}
	for i, conn := range conns[:3] {
		_ = conn.SetReadDeadline(time.Now().Add(20 * time.Second))
		if _, err := conn.Read(make([]byte, 1)); err == nil || isTimeout(err) {
			t.Errorf("connection %d of one address, the oldest, is still open (%v)", i, err)
		}
	}
	if !answered(conns[len(conns)-1]) {
		t.Error("the newest connection is not answered")
	}
	if !answered(other) {
		t.Error("a connection of another address was ended")
	}
}
