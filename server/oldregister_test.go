package server

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/model/modeltest"
)

// The landholder of a register that an older version left sees its works and what visits found
// in them, in today's words.
func TestOldRegisterIsShown(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "register.bolt"), modeltest.Unpacked(t, "oldregister/register.bolt.gz"), 0o600); err != nil {
		t.Fatal(err)
	}
	s := openSite(t, dir, time.Date(2026, 12, 1, 9, 0, 0, 0, time.UTC))
	p, err := s.Property("Sandalwood Run")
	if err != nil {
		t.Fatal(err)
	}
	secret, err := s.Share(t.Context(), p, "", s.at.AddDate(0, 0, 7))
	if err != nil {
		t.Fatal(err)
	}
	status, body := ask(t, http.MethodGet, s.web.URL+"/map/"+secret+"/land.json", "")
	if status != http.StatusOK {
		t.Fatalf("the map answers %d %s", status, body)
	}
	if n := strings.Count(body, "sound"); n == 0 || strings.Contains(body, "holding") {
		t.Errorf("sound is said %d times, and holding: %v", n, strings.Contains(body, "holding"))
	}
	for _, name := range []string{"Dam 1", "Dam 7", "Lantern"} {
		if !strings.Contains(body, name) {
			t.Errorf("%s is not shown", name)
		}
	}
	if devices := s.Devices(); len(devices) != 2 || devices[0].Label != "" || devices[0].Properties[0] != "Sandalwood Run" {
		t.Errorf("its devices are %+v", devices)
	}
}
