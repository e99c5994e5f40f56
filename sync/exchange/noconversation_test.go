package exchange_test

import (
	"bytes"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"headcut/sync/exchange"
)

// TestWhatIsNoConversation: a request that does not ask for one is answered, written down, and waited
// for by nobody.
func TestWhatIsNoConversation(t *testing.T) {
	var log bytes.Buffer
	x := exchange.New(exchange.Options{Logger: slog.New(slog.NewTextHandler(&log, nil))})
	w := httptest.NewRecorder()
	x.ServeHTTP(w, httptest.NewRequest("GET", "/sync", nil))
	if w.Code != http.StatusBadRequest || !strings.Contains(log.String(), "not a device's connection") || !strings.Contains(log.String(), "from=192.0.2.1:1234") {
		t.Errorf("%d, %s", w.Code, &log)
	}
	if err := x.Stop(t.Context()); err != nil {
		t.Errorf("it is waited for: %v", err)
	}
}
