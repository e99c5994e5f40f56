package server

import (
	"bufio"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/sync/exchange"
	"headcut/sync/register"
	"headcut/sync/wire"
)

// A device in the middle of a conversation learns at once that its rights were taken away
// by the office's command, and is not let in again.
func TestRevokingEndsOpenConversations(t *testing.T) {
	s := newSite(t)
	_, code := s.invited(t, "Saltbush Flat")
	_, body := ask(t, http.MethodPost, s.web.URL+"/enrol", `{"code":"`+code+`","device":"d1"}`)
	var enrolled enrolAnswer
	if err := json.Unmarshal([]byte(body), &enrolled); err != nil {
		t.Fatal(err)
	}
	conn, first := greeted(t, s, enrolled.Token)
	if _, ok := first.(*wire.Welcome); !ok {
		t.Fatalf("a hello is answered by %+v, want a welcome", first)
	}
	if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/revoke", `{"device":"d1"}`); status != http.StatusOK {
		t.Fatalf("revoking: %d %s", status, body)
	}
	wantRefused(t, heardFrom(t, conn))
	_, again := greeted(t, s, enrolled.Token)
	wantRefused(t, again)
}

// TestRevokingEndsAPhotoUnderWay: a device has sent half of a photo's part when its rights are taken
// away. It is told at once, and not when it has sent the rest; the rest, sent in time, is not kept either
// (sync/photo: TestPhotoOfWhoIsNotLetInAnyMore).
func TestRevokingEndsAPhotoUnderWay(t *testing.T) {
	s := newSite(t)
	thief := s.enrolledAs(t, "d1", "Z. Gone", "Saltbush Flat")
	honest := s.enrolledAs(t, "d2", "A. Field", "Saltbush Flat")
	jpeg := quarters(t, 64, 48)
	sends := func(as enrolAnswer) (answered func() (*http.Response, error), rest func()) {
		conn, err := net.Dial("tcp", strings.TrimPrefix(s.web.URL, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = conn.Close() })
		half := len(jpeg) / 2
		if _, err := fmt.Fprintf(conn, "PATCH /photos/%s HTTP/1.1\r\nHost: here\r\nAuthorization: Bearer %s\r\nContent-Type: application/partial-upload\r\n"+
			"Upload-Offset: 0\r\nUpload-Length: %d\r\nContent-Length: %d\r\n\r\n%s", register.HashOf(jpeg), as.Token, len(jpeg), len(jpeg), jpeg[:half]); err != nil {
			t.Fatal(err)
		}
		part := filepath.Join(s.dir, "photos", "parts", as.Device, register.HashOf(jpeg).String())
		for began := time.Now(); ; time.Sleep(5 * time.Millisecond) {
			if info, err := os.Stat(part); err == nil && info.Size() > 0 {
				break
			} else if time.Since(began) > 20*time.Second {
				t.Fatal("nothing of the photo has come: ", err)
			}
		}
		return func() (*http.Response, error) {
				_ = conn.SetReadDeadline(time.Now().Add(5 * time.Second))
				return http.ReadResponse(bufio.NewReader(conn), nil)
			}, func() {
				if _, err := conn.Write(jpeg[half:]); err != nil {
					t.Fatal(err)
				}
			}
	}
	told, _ := sends(thief)
	kept, rest := sends(honest)
	if _, err := s.RevokeDevice(t.Context(), "d1"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Label(t.Context(), "d2", "the tablet"); err != nil { // also a change of the device
		t.Fatal(err)
	}
	if res, err := told(); err != nil || res.StatusCode != http.StatusForbidden {
		t.Errorf("the phone without rights hears %v (%v), want 403", res, err)
	}
	rest()
	if res, err := kept(); err != nil || res.StatusCode != http.StatusNoContent {
		t.Errorf("the phone that has its rights hears %v (%v), want 204", res, err)
	}
}

// greeted connects, says hello, and gives what the server says first.
func greeted(t *testing.T, s *site, token string) (*websocket.Conn, wire.Frame) {
	t.Helper()
	return greetedAs(t, s, "d1", token)
}

func greetedAs(t *testing.T, s *site, device, token string) (*websocket.Conn, wire.Frame) {
	t.Helper()
	conn, _, err := websocket.DefaultDialer.Dial("ws"+strings.TrimPrefix(s.web.URL, "http")+"/sync", nil)
	if err != nil {
		t.Fatal(err)
	}
	s.phones.Store(conn, nil)
	hello, err := wire.Append(nil, &wire.Hello{Version: wire.Version, Token: token, Device: device})
	if err != nil {
		t.Fatal(err)
	}
	if err := conn.WriteMessage(websocket.TextMessage, hello); err != nil {
		t.Fatal(err)
	}
	return conn, heardFrom(t, conn)
}

func heardFrom(t *testing.T, conn *websocket.Conn) wire.Frame {
	t.Helper()
	if err := conn.SetReadDeadline(time.Now().Add(exchange.DefaultTiming.Admit / 2)); err != nil {
		t.Fatal(err)
	}
	_, data, err := conn.ReadMessage()
	if err != nil {
		t.Fatalf("the connection ended without a word: %v", err)
	}
	frame, err := wire.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return frame
}

func wantRefused(t *testing.T, frame wire.Frame) {
	t.Helper()
	got, ok := frame.(*wire.Problem)
	if !ok || got.Problem.Path != "token" || !got.Closing || got.Problem.Fix == "" {
		t.Errorf("a device without rights hears %+v, want a closing problem at token that says what to do", frame)
	}
}
