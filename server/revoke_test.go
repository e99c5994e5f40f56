package server

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/gorilla/websocket"

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
	began := time.Now()
	if status, body := ask(t, http.MethodPost, s.admin.URL+"/office/revoke", `{"device":"d1"}`); status != http.StatusOK {
		t.Fatalf("revoking: %d %s", status, body)
	}
	wantRefused(t, heardFrom(t, conn))
	if took := time.Since(began); took > 3*time.Second {
		t.Errorf("the device was told after %v, want 3 s at most", took)
	}
	_, again := greeted(t, s, enrolled.Token)
	wantRefused(t, again)
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
	if err := conn.SetReadDeadline(time.Now().Add(20 * time.Second)); err != nil {
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
