package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestCallsThatAreMisused: a call that lacks an option, or has two that do not go together, says how
// to write it and does nothing.
func TestCallsThatAreMisused(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, call := range []string{
		"serve", "serve --data d extra", "verify", "verify --data d extra", "version extra", "demo extra",
		"backup --to b", "backup --data d", "backup --data d --to b extra",
		"restore --data d", "restore --from b", "restore --from b --data d extra",
		"restore --from b --data d --photos --salvage", "restore --from b --data d --photos --replaces o",
		"export --property P", "export --data d", "export --data d --property P --out=", "export --data d --property P extra",
		"share --property P", "share --data d", "share --data d --property P --revoke 1", "share --data d --property P extra",
		"share --data d --property P --days 0", "share --data d --property P --days 3661",
		"enrol --property P --author A", "enrol --data d", "enrol --data d --property P", "enrol --data d --author A",
		"enrol --data d --device 1", "enrol --data d --again 1 extra", "enrol --data d --again 1 --author A",
		"enrol --data d --again 1 --device 2", "enrol --data d --again 1 --revoke 2", "enrol --data d --again 1 --device 2 --property P",
		"enrol --data d --revoke 1 --device 2 --property P", "enrol --data d --revoke 1 --author A --property P",
		"properties", "properties --data d extra", "properties --data d --accept 1 --rename 2 --name N",
		"properties --data d --merge 1", "properties --data d --into 1", "properties --data d --let-in", "properties --data d --accept 1 --let-in",
		"properties --data d --rename 1", "properties --data d --name N", "properties --data d --merge 1 --into 2 --name N",
		"devices", "devices --data d extra", "devices --data d --label L", "devices --data d --device 1",
		"devices --data d --label L --device 1 --revoke 1", "devices --data d --property P", "devices --data d --label L --device 1 --property P",
		"devices --data d --revoke 1 --device 2", "devices --confirm all", "devices --data d --confirm all extra",
		"devices --data d --confirm 1 --revoke 1", "devices --data d --confirm 1 --label L --device 1",
		"links", "links --data d extra", "links --data d --revoke 1 --confirm 1",
		"intake f.gpx", "intake --data d", "intake --data d --list f.gpx", "intake --data d --undo 1 f.gpx", "intake --data d --property P --restore U f.gpx",
		"intake --data d --list --undo 1", "intake --data d --undo 1 --property P --restore U", "intake --data d --restore U",
		"compute area line", "compute area --set", "compute area --set x", "compute area --set =4", "compute ---x",
	} {
		args := strings.Fields(call)
		var out, fault bytes.Buffer
		if code := run(t.Context(), args, strings.NewReader("{}"), &out, &fault); code != 2 || !strings.HasPrefix(fault.String(), "headcut "+args[0]+": ") ||
			!strings.Contains(fault.String(), "headcut "+args[0]+" -h") || out.Len() > 0 {
			t.Errorf("headcut %s: %d, %s%s", call, code, out.String(), fault.String())
		}
	}
	if made, err := os.ReadDir("."); err != nil || len(made) > 0 {
		t.Errorf("%v was made, %v", made, err)
	}
}

// TestCallsAsHelpHasThem: each form that the help shows goes on to look for the data folder.
func TestCallsAsHelpHasThem(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("f.gpx", []byte("<gpx/>"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, call := range []string{
		"verify --data d", "backup --data d --to b",
		"restore --from d --data n", "restore --from d --data n --photos", "restore --from d --data n --salvage", "restore --from d --data n --replaces o",
		"restore --from d --data n --salvage --replaces o",
		"export --data d --property P", "export --data d --property P --out x.kml --format kml",
		"share --data d --property P", "share --data d --property P --for F --days 1", "share --data d --property P --days 3660", "share --data d --revoke 1",
		"enrol --data d --property P --author A", "enrol --data d --property P --property Q --author A --new", "enrol --data d --again 1",
		"enrol --data d --device 1 --property P", "enrol --data d --device 1 --property P --new", "enrol --data d --revoke 1", "enrol --data d --revoke 1 --property P",
		"properties --data d", "properties --data d --accept 1", "properties --data d --accept 1 --name N", "properties --data d --rename 1 --name N",
		"properties --data d --merge 1 --into 2", "properties --data d --merge 1 --into 2 --let-in",
		"devices --data d", "devices --data d --revoke 1", "devices --data d --revoke 1 --property P", "devices --data d --label L --device 1", "devices --data d --confirm all",
		"links --data d", "links --data d --revoke 1", "links --data d --confirm 1",
		"intake --data d f.gpx", "intake --data d --property P f.gpx f.gpx", "intake --data d --list", "intake --data d --undo 1", "intake --data d --property P --restore U",
	} {
		var out, fault bytes.Buffer
		if code := run(t.Context(), strings.Fields(call), nil, &out, &fault); code != 1 || !strings.Contains(fault.String(), "there is no register in d") || out.Len() > 0 {
			t.Errorf("headcut %s: %d, %s%s", call, code, out.String(), fault.String())
		}
		for _, dir := range []string{"d", "n", "b", "x.kml"} {
			if _, err := os.Stat(filepath.Join(".", dir)); err == nil {
				t.Fatalf("headcut %s made %s", call, dir)
			}
		}
	}
}
