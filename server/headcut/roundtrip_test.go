package main

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"headcut/model"
	"headcut/sync/register"
)

// roundTrip is a data folder with a property, and the commands on it.
type roundTrip struct {
	t        *testing.T
	dir      string
	data     string
	property string
}

func newRoundTrip(t *testing.T) *roundTrip {
	t.Parallel() // it waits for a disk and for other programs
	return anotherRoundTrip(t)
}

// anotherRoundTrip is one more in the same test.
func anotherRoundTrip(t *testing.T) *roundTrip {
	dir := t.TempDir()
	r := &roundTrip{t: t, dir: dir, data: filepath.Join(dir, "data"), property: "Large"}
	makeLarge(t, r.data, 200)
	return r
}

func (r *roundTrip) path(name string) string { return filepath.Join(r.dir, name) }

// headcut runs a command on the property and gives what it said, on both outputs.
func (r *roundTrip) headcut(want int, args ...string) string {
	r.t.Helper()
	var said bytes.Buffer
	got := run(context.Background(), append([]string{args[0], "--data", r.data}, args[1:]...), nil, &said, &said)
	if got != want {
		r.t.Fatalf("headcut %v ended with %d, want %d:\n%.4000s", args, got, want, said.String())
	}
	return said.String()
}

func (r *roundTrip) export(name string) map[string]map[string]any {
	r.t.Helper()
	r.headcut(0, "export", "--property", r.property, "--format", "geojson", "--out", r.path(name))
	raw, err := os.ReadFile(r.path(name))
	if err != nil {
		r.t.Fatal(err)
	}
	var file struct {
		Features []struct{ Properties map[string]any }
	}
	if err := json.Unmarshal(raw, &file); err != nil {
		r.t.Fatal(err)
	}
	out := map[string]map[string]any{}
	for _, f := range file.Features {
		out[f.Properties["uid"].(string)] = f.Properties
	}
	return out
}

// ogr runs one of GDAL's programs.
func (r *roundTrip) ogr(program string, args ...string) {
	r.t.Helper()
	cmd := exec.Command(program, args...)
	if out, err := cmd.CombinedOutput(); err != nil {
		r.t.Fatalf("%s: %v\n%s", cmd, err, out)
	}
}

// replace edits a file as text, after the place where at stands.
func (r *roundTrip) replace(from, to, at, old, new string) {
	r.t.Helper()
	raw, err := os.ReadFile(r.path(from))
	before, after, ok := strings.Cut(string(raw), at)
	if err != nil || !ok || !strings.Contains(after, old) {
		r.t.Fatalf("%s has no %s (%v)", from, old, err)
	}
	if err := os.WriteFile(r.path(to), []byte(before+at+strings.Replace(after, old, new, 1)), 0o600); err != nil {
		r.t.Fatal(err)
	}
}

func (r *roundTrip) intake(want int, name string, more ...string) string {
	r.t.Helper()
	return r.headcut(want, append(append([]string{"intake", "--property", r.property}, more...), r.path(name))...)
}

func (r *roundTrip) says(said string, parts ...string) {
	r.t.Helper()
	for _, part := range parts {
		if !strings.Contains(said, part) {
			r.t.Fatalf("said\n%.3000s\nwant %q in it", said, part)
		}
	}
}

// TestOwnExportChangesNothing: our own GeoJSON taken in again changes nothing, as it is and
// after a way through a GeoPackage that gives it another order and other types.
func TestOwnExportChangesNothing(t *testing.T) {
	r := newRoundTrip(t)
	before := r.export("a.geojson")
	r.ogr("ogr2ogr", "-f", "GPKG", r.path("a.gpkg"), r.path("a.geojson"))
	r.ogr("ogr2ogr", "-f", "GeoJSON", "-sql", `SELECT * FROM "Large" ORDER BY name, uid DESC`, r.path("b.geojson"), r.path("a.gpkg"))
	r.ogr("ogr2ogr", "-f", "GeoJSON", "-lco", "RFC7946=YES", r.path("c.geojson"), r.path("a.gpkg"))
	for _, name := range []string{"a.geojson", "b.geojson", "c.geojson"} {
		r.says(r.intake(0, name), "0 new, 200 known already, 0 edited, of 200 features (GeoJSON)")
	}
	after := r.export("d.geojson")
	if len(after) != len(before) {
		t.Fatalf("%d features after taking in our own exports, want %d", len(after), len(before))
	}
	for uid, f := range before {
		if after[uid]["version"] != f["version"] {
			t.Errorf("the version of %s went from %v to %v", uid, f["version"], after[uid]["version"])
		}
	}
	r.says(r.intake(0, "d.geojson"), "0 new, 200 known already, 0 edited, of 200 features (GeoJSON)")
	r.says(r.headcut(0, "intake", "--list"), "No file has been taken in.")
}

// TestEditInAGISComesBack: a name edited in a GIS, and a place moved there, come back as edits
// of their features: shown in a dry run, taken once, undone by one command.
func TestEditInAGISComesBack(t *testing.T) {
	r := newRoundTrip(t)
	before := r.export("a.geojson")
	r.ogr("ogr2ogr", "-f", "GPKG", r.path("a.gpkg"), r.path("a.geojson"))
	dam := idOf(3, 0) // "Check dam 1" of the first gully
	r.ogr("ogrinfo", r.path("a.gpkg"), "-dialect", "SQLite", "-sql", `UPDATE "Large" SET name = 'Fig tree dam', crestHeightM = 0.45, notes = NULL WHERE uid = '`+dam+`'`)
	r.ogr("ogrinfo", r.path("a.gpkg"), "-dialect", "SQLite", "-sql", `UPDATE "Large" SET geom = MakePoint(133.25, -16.15, 4326) WHERE uid = '`+idOf(94, 0)+`'`)
	r.ogr("ogr2ogr", "-f", "GeoJSON", r.path("b.geojson"), r.path("a.gpkg"))
	want := []string{"0 new, 198 known already, 2 edited", "Check dam Check dam 1:", `Name: "Check dam 1" -> "Fig tree dam"`, "Crest above bed: 0.4 -> 0.45", `-> nothing`, "Peg Peg 0:", "Place: moved 7.", " km, from 16.1001808° S 133.2000000° E to 16.1500000° S 133.2500000° E"}
	r.says(r.intake(0, "b.geojson", "--dry-run"), append(want, "dry run: nothing was changed")...)
	if got := r.export("c.geojson")[dam]; got["name"] != "Check dam 1" {
		t.Fatalf("a dry run made the name %v", got["name"])
	}
	r.says(r.intake(0, "b.geojson", "--author", "Office"), append(want, "--undo 1")...)
	got := r.export("c.geojson")
	if d := got[dam]; d["name"] != "Fig tree dam" || d["crestHeightM"] != 0.45 || d["notes"] != nil || d["changedBy"] != "Office" || d["clashes"] != nil || len(got) != 200 {
		t.Errorf("the dam is %v", d)
	}
	if p := got[idOf(94, 0)]; p["positionBasis"] != "drawn on the map" || p["accuracyM"] != nil {
		t.Errorf("a peg moved in a GIS has the position basis %v and accuracy %v", p["positionBasis"], p["accuracyM"])
	}
	for _, name := range []string{"b.geojson", "c.geojson"} { // again, and after a second export
		r.says(r.intake(0, name, "--author", "Office"), "0 new, 200 known already, 0 edited")
	}
	r.says(r.headcut(0, "intake", "--undo", "1"), "0 features struck out, 2 edits undone")
	undone := r.export("d.geojson")
	if who := undone[dam]["changedBy"]; who != "undo of intake 1" {
		t.Errorf("after the undo the dam was changed by %v", who)
	}
	for _, column := range []string{"name", "crestHeightM", "notes"} {
		if undone[dam][column] != before[dam][column] {
			t.Errorf("undone, %s is %v, want %v", column, undone[dam][column], before[dam][column])
		}
	}
	r.says(r.headcut(0, "intake", "--undo", "1"), "0 features struck out, 0 edits undone, 2 undone before")
	said := r.intake(1, "b.geojson", "--author", "Office")
	r.says(said, "0 new, 200 known already, 0 edited", "Check dam 1: what the file says otherwise was taken in before and undone since (undo of intake 1): left out", "2 parts of the file were left out")
	r.says(r.headcut(0, "intake", "--list"), "b.geojson: 0 new, 2 edited, undone")
	r.headcut(1, "intake", "--undo", "7")
}

// says writes an entry of a phone into the register.
func (r *roundTrip) phone(device, feature, field, value string) {
	r.t.Helper()
	d, err := openDataDir(context.Background(), r.data, slog.New(slog.DiscardHandler))
	if err != nil {
		r.t.Fatal(err)
	}
	defer d.close(context.Background())
	p, err := d.server.Property("Large")
	if err != nil {
		r.t.Fatal(err)
	}
	entries, err := d.store.EntriesOf(context.Background(), p.ID, feature)
	if err != nil {
		r.t.Fatal(err)
	}
	state := register.Gather(feature, entries)
	raw, err := register.Encode(register.Entry{Version: 1, ID: register.ID(idOf(500, len(device))), Property: p.ID, Feature: feature, Device: device, DeviceSeq: 1,
		Stamp: state.Stamp() + 1<<30, SeenAt: "2026-06-01T09:00:00+10:00", Author: "Ben", Saw: state.Saw(device), Set: model.FieldValuesOf(map[string]json.RawMessage{field: json.RawMessage(value)})})
	if err != nil {
		r.t.Fatal(err)
	}
	receipts, err := d.store.Append(context.Background(), p.ID, []json.RawMessage{raw})
	if err != nil || receipts[0].Refused != "" {
		r.t.Fatal(err, receipts)
	}
}

// TestEditMeanwhileIsAClash: what somebody else changed after the export is not overwritten:
// both values stay, and the file says so.
func TestEditMeanwhileIsAClash(t *testing.T) {
	r := newRoundTrip(t)
	dam, other := idOf(3, 0), idOf(4, 0)
	r.export("a.geojson")
	r.replace("a.geojson", "b.geojson", `"uid":"`+dam, `"name":"Check dam 1"`, `"name":"Fig tree dam"`)
	r.phone("phone-2", dam, "name", `"Dam at the bend"`)
	r.phone("phone-22", other, "name", `"Second dam"`)
	said := r.intake(0, "b.geojson", "--author", "Office")
	r.says(said, "0 new, 199 known already, 1 edited", "somebody else changed name meanwhile")
	got := r.export("c.geojson")
	clash, _ := got[dam]["clashes"].(string)
	if got[dam]["name"] != "Dam at the bend" || !strings.Contains(clash, `"Dam at the bend" (Ben, 1 June 2026)`) || !strings.Contains(clash, `"Fig tree dam" (Office`) {
		t.Errorf("the dam is called %v and its clashes are %q", got[dam]["name"], clash)
	}
	if got[other]["name"] != "Second dam" || got[other]["clashes"] != nil {
		t.Errorf("what the file did not touch is called %v, clashes %v", got[other]["name"], got[other]["clashes"])
	}
	r.says(r.headcut(0, "intake", "--undo", "1"), "1 edit undone")
	if got := r.export("d.geojson")[dam]; got["name"] != "Dam at the bend" || got["clashes"] != nil {
		t.Errorf("undone, the dam is called %v, clashes %v", got["name"], got["clashes"])
	}
}

// TestIntakeOfNewFeatures: kinds are found and told, points in CSV are read, what is left out
// ends the command with 1, and one command takes all of it back but what was edited since.
func TestIntakeOfNewFeatures(t *testing.T) {
	r := newRoundTrip(t)
	csv := "Name,Lat,Long,Kind,Notes\ncheck dam 5,-16.1001,133.2001,,at the fig tree\nBM 2,\"16°06'10.5\"\"S\",\"133°12'01\"\"E\",,\nOld bore,-16.12,133.22,hazard,\nsomething,-16.13,133.23,,\nlost,,133.2,,\n"
	if err := os.WriteFile(r.path("p.csv"), []byte(csv), 0o600); err != nil {
		t.Fatal(err)
	}
	want := []string{"4 new, 0 known already, 0 edited, of 4 features (CSV points)", "1 as check-dam, by their names", "1 as benchmark, by their names", "1 as hazard, by kind", "1 as peg, by --kind", "row 6: the latitude is empty: the row is left out", "1 part of the file was left out"}
	r.says(r.intake(1, "p.csv", "--kind", "peg", "--dry-run"), want...)
	if got := r.export("a.geojson"); len(got) != 200 {
		t.Fatalf("a dry run left %d features, want 200", len(got))
	}
	r.says(r.intake(1, "p.csv", "--kind", "peg"), want...)
	r.says(r.intake(1, "p.csv", "--kind", "peg", "--author", "Cy"), "0 new, 4 known already, 0 edited")
	got := r.export("b.geojson")
	ids := map[string]string{}
	for uid, f := range got {
		if name, _ := f["name"].(string); f["recordedBy"] == "intake" {
			ids[name] = uid
		}
	}
	if len(ids) != 4 || len(got) != 204 || got[ids["check dam 5"]]["notes"] != "at the fig tree" {
		t.Fatalf("the features are %v", ids)
	}
	r.phone("phone-2", ids["BM 2"], "notes", `"found"`)
	said := r.headcut(1, "intake", "--undo", "1")
	r.says(said, "3 features struck out", "BM 2: was edited since by Ben: it stays")
	for name, uid := range ids {
		if f := r.export("c.geojson")[uid]; f["struckOut"] != (name != "BM 2") {
			t.Errorf("undone, %s is struck out: %v", name, f["struckOut"])
		}
	}
	r.says(r.intake(1, "p.csv", "--kind", "peg"), "3 known features were struck out, and stay so")
	r.headcut(1, "intake", "--property", "Large", "--kind", "no such kind", r.path("p.csv"))
}

// TestCopiedFeatureOfAnExport: a feature that was copied in a GIS is not a second edit, a new
// one without uid is new, and an export of another register's state is not guessed at.
func TestCopiedFeatureOfAnExport(t *testing.T) {
	r := newRoundTrip(t)
	r.export("a.geojson")
	raw, err := os.ReadFile(r.path("a.geojson"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(raw), "\n")
	copied := strings.Join([]string{lines[0], lines[1], strings.Replace(lines[1], `"name":"`, `"name":"copy of `, 1),
		`{"type":"Feature","properties":{"uid":null,"version":null,"kind":"peg","name":"new peg","lengthM":null},"geometry":{"type":"Point","coordinates":[133.2,-16.1]}}],"fields":[]}`}, "")
	if err := os.WriteFile(r.path("b.geojson"), []byte(copied), 0o600); err != nil {
		t.Fatal(err)
	}
	r.says(r.intake(1, "b.geojson"), "1 new, 1 known already, 0 edited, of 2 features", "is in the file twice")
	version := lines[1][strings.Index(lines[1], `"version":"v`)+11:][:17]
	r.replace("a.geojson", "c.geojson", "", version, "v0000000000000000")
	r.says(r.intake(1, "c.geojson"), "199 known already", "export again, and edit the new file")
}

// TestOutReplacesOnlyExports: --out takes the place of nothing but an earlier export.
func TestOutReplacesOnlyExports(t *testing.T) {
	r := newRoundTrip(t)
	write := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(r.path(name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("mine.txt", "a letter")
	write("mine.geojson", `{"type":"FeatureCollection","features":[]}`)
	write("empty", "")
	if err := os.Mkdir(r.path("folder"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(r.path("mine.txt"), r.path("link")); err != nil {
		t.Fatal(err)
	}
	export := func(want int, format, name string) string {
		return r.headcut(want, "export", "--property", "Large", "--format", format, "--out", name)
	}
	for name, says := range map[string]string{"mine.txt": "no export of headcut's", "mine.geojson": "no export of headcut's", "folder": "is a folder", "link": "is a link"} {
		r.says(export(1, "geojson", r.path(name)), says, "give the name of a new file")
	}
	r.says(export(1, "geojson", "/dev/null"), "is a device")
	if raw, err := os.ReadFile(r.path("mine.txt")); string(raw) != "a letter" {
		t.Errorf("the letter is %q, %v", raw, err)
	}
	for _, format := range []string{"geojson", "kml", "kml", "geojson"} {
		export(0, format, r.path("out"))
	}
	export(0, "kml", r.path("empty"))
}

// TestFileStrikesAndRestoresNothing: a file that says of a struck-out feature that it is not, or
// edits it, changes nothing and is told the command that restores.
func TestFileStrikesAndRestoresNothing(t *testing.T) {
	r := newRoundTrip(t)
	if err := os.WriteFile(r.path("p.csv"), []byte("name,lat,lon\ncheck dam 5,-16.1001,133.2001\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.intake(0, "p.csv")
	r.says(r.headcut(0, "intake", "--undo", "1"), "1 feature struck out")
	uid := ""
	for id, f := range r.export("a.geojson") {
		if f["struckOut"] == true {
			uid = id
		}
	}
	restore := "--restore " + uid
	r.replace("a.geojson", "b.geojson", `"uid":"`+uid, `"struckOut":true`, `"struckOut":false`)
	r.says(r.intake(1, "b.geojson", "--dry-run"), "a file restores nothing: check dam 5 stays struck out", restore, "0 edited")
	r.replace("a.geojson", "c.geojson", `"uid":"`+uid, `"name":"check dam 5"`, `"name":"dam 5"`)
	r.says(r.intake(1, "c.geojson"), "check dam 5 is struck out, and edited in the file", restore, "0 edited")
	r.replace("a.geojson", "d.geojson", `"uid":"`+idOf(3, 0), `"struckOut":false`, `"struckOut":true`)
	r.says(r.intake(1, "d.geojson"), "a file strikes nothing out: Check dam 1 stays", "0 edited")
	r.says(r.headcut(0, "intake", "--property", "Large", "--restore", uid, "--author", "Cy"), "Check dam check dam 5 restored")
	if f := r.export("e.geojson")[uid]; f["struckOut"] != false || f["changedBy"] != "Cy" {
		t.Errorf("restored, it is struck out: %v, changed by %v", f["struckOut"], f["changedBy"])
	}
	r.says(r.headcut(0, "intake", "--property", "Large", "--restore", uid), "was not struck out: nothing was changed")
	r.says(r.headcut(1, "intake", "--property", "Large", "--restore", "nobody"), `"nobody" is no feature of Large`)
	r.headcut(2, "intake", "--restore", uid, "--list")
}

// TestOptionsBehindTheFile: options are taken wherever they are on the line.
func TestOptionsBehindTheFile(t *testing.T) {
	r := newRoundTrip(t)
	if err := os.WriteFile(r.path("p.csv"), []byte("name,lat,lon\nPeg 1,-16.1,133.2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.says(r.headcut(0, "intake", r.path("p.csv"), "--property", "Large", "--dry-run"), "1 new", "dry run: nothing was changed")
	if got := r.export("a.geojson"); len(got) != 200 {
		t.Fatalf("a dry run asked for behind the file left %d features, want 200", len(got))
	}
	r.says(r.headcut(1, "intake", "--property", "Large", "--", "--dry-run"), "--dry-run: refused whole: there is no such file")
	r.headcut(2, "export", "--property", "Large", "twice")
}

// TestDeletedRowStays: a row deleted in a GIS strikes nothing out, and that is said.
func TestDeletedRowStays(t *testing.T) {
	r := newRoundTrip(t)
	r.export("a.geojson")
	raw, err := os.ReadFile(r.path("a.geojson"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(raw), "\n")
	lines = slices.DeleteFunc(lines, func(line string) bool { return strings.Contains(line, `"uid":"`+idOf(94, 0)) })
	if err := os.WriteFile(r.path("b.geojson"), []byte(strings.Join(lines, "")), 0o600); err != nil {
		t.Fatal(err)
	}
	r.says(r.intake(0, "b.geojson"), "0 new, 199 known already, 0 edited, of 199 features", "1 feature is not in the file, and stays: Peg 0")
	if got := r.export("c.geojson"); len(got) != 200 || got[idOf(94, 0)]["struckOut"] != false {
		t.Errorf("%d features after a row was deleted, want 200", len(got))
	}
}

// TestUnknownKindListsTheKinds: the nearest first, once.
func TestUnknownKindListsTheKinds(t *testing.T) {
	r := newRoundTrip(t)
	if err := os.WriteFile(r.path("p.csv"), []byte("name,lat,lon,kind\none,-16.1,133.2,dam wall\ntwo,-16.2,133.2,photo pt\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	said := r.intake(0, "p.csv", "--dry-run")
	r.says(said, `row 2: "dam wall" names no kind: kept as unsorted; the kinds are, the nearest first, check-dam, `, `row 3: "photo pt" names no kind: kept as unsorted; the nearest is photo-point`)
	r.says(r.intake(1, "p.csv", "--kind", "wind row"+"s2"), "the nearest first, windrow, ", "the file was refused")
}

// TestOutNamesWhatWasTyped: no neighbour that the user never heard of.
func TestOutNamesWhatWasTyped(t *testing.T) {
	r := newRoundTrip(t)
	said := r.headcut(1, "export", "--property", "Large", "--out", r.path("no/such/x.kml"), "--format", "kml")
	if r.says(said, "there is no folder "+r.path("no/such")); strings.Contains(said, ".part") {
		t.Errorf("said %s", said)
	}
}

// TestBackupIntoAFolderOfOthers: a folder that has other files and no backup is refused.
func TestBackupIntoAFolderOfOthers(t *testing.T) {
	r := newRoundTrip(t)
	if err := os.Mkdir(r.path("letters"), 0o700); err != nil {
		t.Fatal(err)
	}
	r.says(r.headcut(0, "backup", "--to", r.path("letters")), "0 photos added, 0 mended")
	r.says(r.headcut(0, "backup", "--to", r.path("letters")), "0 photos added, 0 mended")
	if err := os.MkdirAll(r.path("others"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(r.path("others/mine.txt"), []byte("a letter"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.says(r.headcut(1, "backup", "--to", r.path("others")), "has other files and no backup")
	if held, _ := os.ReadDir(r.path("others")); len(held) != 1 {
		t.Errorf("the folder now holds %v", held)
	}
}
