package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/server"
	"headcut/sync/intake"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// told is what a command prints: its output, then its complaints.
func told(tell func(c *call)) string {
	var out, fault bytes.Buffer
	tell(&call{stdout: &out, stderr: &fault})
	return out.String() + fault.String()
}

// TestRightsInWords: what the office is told of a phone, code, property or link that it changed.
func TestRightsInWords(t *testing.T) {
	day := time.Date(2026, 5, 13, 2, 0, 0, 0, time.UTC)
	phone := server.DeviceRow{Row: 3, Device: "d-3", Author: "R. Field", AlsoCalled: []int{7, 9}}
	also := "The number was taken as a row of the list. Row 7, 9 goes by that number too: give its own row if it was meant.\n"
	flat := server.Property{ID: "p", Name: "Saltbush Flat"}
	invited := server.Invitation{Code: "k3t9a-2m4pq", Until: day, Author: "R. Field"}
	again := invited
	again.Again, again.Properties, again.Made = 3, []server.Property{flat, {Name: "Ridge Block"}}, []server.Property{flat}
	until := "It works once, until " + day.Local().Format("15:04 on 2 January 2006") + ".\n"
	for name, c := range map[string]struct {
		tell func(c *call)
		want string
	}{
		"revoked": {func(c *call) {
			c.tellRevoked(server.Revoked{DeviceRow: server.DeviceRow{Row: 3, Device: "d-3", Author: "R. Field"}}, nil)
		},
			"The phone of R. Field (row 3, d-3) may no longer send or read. Its entries stay.\n"},
		"revoked with all that hangs together": {func(c *call) {
			row := phone
			row.FollowedBy = 5
			c.tellRevoked(server.Revoked{DeviceRow: row, Before: []int{1, 2}, Codes: 2, Others: []int{4}}, nil)
		}, also + "The phone of R. Field (row 3, d-3) may no longer send or read. Its entries stay.\n" +
			"Nor does anything that it was enrolled as before: row 1, 2.\n" +
			"This row had ended before: the phone was enrolled again, as row 5.\n2 codes to enrol it again ended too.\n" +
			"NOT revoked, and let in still, of the same person: row 4. Look in 'headcut devices', and revoke by the row what is lost too.\n"},
		"narrowed": {func(c *call) {
			c.tellRevoked(server.Revoked{DeviceRow: server.DeviceRow{Row: 3, Device: "d-3", Author: "R. Field", Properties: []string{"Hut"}}, Before: []int{1}, With: []string{"Creek", "Ridge"}}, []string{"Flat", "Dam"})
		}, "The phone of R. Field (row 3, d-3) may no longer send to or read Flat, Dam. Its entries stay. It has now: Hut.\n" +
			"Taken with it, because they are merged: Creek, Ridge. What the phone has not sent of these stays on it too.\n"},
		"narrowed to nothing": {func(c *call) { c.tellRevoked(server.Revoked{DeviceRow: phone}, []string{"Flat"}) },
			also + "The phone of R. Field (row 3, d-3) may no longer send to or read Flat. Its entries stay. It has now: none.\n"},
		"invited": {func(c *call) {
			if err := c.tellInvited(invited); err != nil {
				t.Error(err)
			}
		}, "Code for R. Field on what the phone began: k3t9a-2m4pq\n" + until + "The server does not know its address yet: start it once with 'headcut serve --address'.\n"},
		"invited again": {func(c *call) {
			if err := c.tellInvited(again); err != nil {
				t.Error(err)
			}
		}, "New property: Saltbush Flat\nCode for R. Field on Saltbush Flat, Ridge Block: k3t9a-2m4pq\n" + until +
			"It enrols the phone in row 3 again: when it is used, that number ends for every phone that has it.\n" +
			"The server does not know its address yet: start it once with 'headcut serve --address'.\n"},
		"accepted": {func(c *call) { c.tellProperty("accept", server.PropertyChanged{Property: flat}) },
			"Saltbush Flat is accepted. Phones that have it learn of it at their next connection.\n"},
		"accepted and taken from phones": {func(c *call) {
			c.tellProperty("accept", server.PropertyChanged{Property: flat, AlsoCalled: []int{7, 9}, TakenFrom: []string{"Marri", "Jarrah"}})
		}, also + "Saltbush Flat is accepted. Phones that have it learn of it at their next connection.\n" +
			"The right to it was taken from Marri, Jarrah, and is not given back by this: see 'headcut help enrol' for --device and --property.\n"},
		"renamed": {func(c *call) { c.tellProperty("rename", server.PropertyChanged{Property: flat}) }, "It is called Saltbush Flat now. Phones learn of it at their next connection.\n"},
		"merged":  {func(c *call) { c.tellProperty("merge", server.PropertyChanged{Property: flat}) }, "It is part of Saltbush Flat now. Phones follow at their next connection.\n"},
		"one phone confirmed": {func(c *call) {
			c.tellConfirmed(server.Confirmation{Device: "1"}, server.KeptShut{Devices: 1, Links: 2})
		}, "1 phone confirmed.\n"},
		"no phone confirmed": {func(c *call) { c.tellConfirmed(server.Confirmation{Device: "all"}, server.KeptShut{Links: 2}) }, "0 phones confirmed.\n"},
		"all phones confirmed": {func(c *call) { c.tellConfirmed(server.Confirmation{Device: "all"}, server.KeptShut{Devices: 2}) },
			"2 phones confirmed.\nWho was revoked since the backup cannot be known here, unless 'restore --replaces' carried it over: look through 'headcut devices', and revoke those phones again.\n"},
		"links confirmed": {func(c *call) {
			c.tellConfirmed(server.Confirmation{Link: "all"}, server.KeptShut{Devices: 1, Links: 2})
		}, "2 links confirmed.\n"},
	} {
		if got := told(c.tell); got != c.want {
			t.Errorf("%s: told\n%swant\n%s", name, got, c.want)
		}
	}
	for link, want := range map[string]string{"3": "3", "The Smiths": "The Smiths", "https://land.example/map/abc": "abc", "/map/abc/": "abc", "http://map/map/a//": "a"} {
		if got := secretOf(link); got != want {
			t.Errorf("%q is taken as %q, want %q", link, got, want)
		}
	}
}

// TestRestoredRightsInWords: what a restore carried over, what only the replaced register has, and
// what nobody can know.
func TestRestoredRightsInWords(t *testing.T) {
	day := time.Date(2026, 5, 13, 2, 0, 0, 0, time.UTC)
	phone, link := server.DeviceRow{Row: 3, Author: "R. Field", Enrolled: day, Revoked: day}, server.LinkRow{Row: 4, Property: "Flat", For: "The Smiths", Made: day, Revoked: day}
	bare := link
	bare.For = ""
	for name, c := range map[string]struct {
		rights restoredRights
		want   string
	}{
		"nothing at hand": {restoredRights{}, ""},
		"nothing new":     {restoredRights{replaces: "old"}, "No rights were taken away in old that this register does not know.\n"},
		"revoked":         {restoredRights{replaces: "old", over: server.CarriedOver{Revoked: []server.DeviceRow{phone}}}, "Carried over from old: the phone of R. Field (row 3) has no rights since 13 May 2026.\n"},
		"narrowed": {restoredRights{replaces: "old", over: server.CarriedOver{Narrowed: []server.NarrowedDevice{{DeviceRow: phone, Lost: []string{"Flat", "Hut"}}}}},
			"Carried over from old: the phone of R. Field (row 3) has no right to Flat, Hut.\n"},
		"withdrawn": {restoredRights{replaces: "old", over: server.CarriedOver{Links: []server.LinkRow{link, bare}}},
			"Carried over from old: the link to Flat for The Smiths (row 4) is withdrawn since 13 May 2026.\nCarried over from old: the link to Flat (row 4) is withdrawn since 13 May 2026.\n"},
		"lacking": {restoredRights{replaces: "old", over: server.CarriedOver{Revoked: []server.DeviceRow{phone}, Lacking: server.Lacking{Devices: []server.DeviceRow{phone}, Links: []server.LinkRow{link},
			Intakes: []server.Intake{{File: "f.gpx", Property: server.Property{Name: "Flat"}, At: day}}}}},
			"Carried over from old: the phone of R. Field (row 3) has no rights since 13 May 2026.\n" +
				"Only in old: the phone of R. Field (row 3 there), enrolled on 13 May 2026: enrol it again.\n" +
				"Only in old: the link to Flat for The Smiths (row 4 there), made on 13 May 2026: share it again.\n" +
				"Only in old: the intake of f.gpx into Flat on 13 May 2026: take the file in again.\n"},
		"backup, damaged": {restoredRights{replaces: "old", backup: &store.IsBackup{At: day}, damaged: true},
			"No rights were taken away in old that this register does not know.\n" +
				"The register in old is itself a backup of " + day.Local().Format("2 January 2006, 15:04") + ": what was taken away later is not known.\n" +
				"The register in old is damaged: what it took away last may not be among this.\n"},
		"shut":      {restoredRights{shut: server.KeptShut{Devices: 1, Links: 2}}, "1 phone and 2 links are kept shut, because why: look at"},
		"link shut": {restoredRights{shut: server.KeptShut{Links: 1}}, "0 phones and 1 link are kept shut, because why: look at"},
	} {
		if got := told(func(call *call) { c.rights.tell(call, "why") }); c.want == "" && got != "" || !strings.HasPrefix(got, c.want) || c.rights.shut == (server.KeptShut{}) && got != c.want {
			t.Errorf("%s: told\n%swant\n%s", name, got, c.want)
		}
	}
}

// TestIntakesInWords: what a file gave, and the list of files.
func TestIntakesInWords(t *testing.T) {
	flat := server.Property{Name: "Flat"}
	raw := func(text string) json.RawMessage { return json.RawMessage(text) }
	file := server.Taken{Property: flat, Format: "GPX", Features: 4, NewFeatures: 2, KnownFeatures: 1, Edited: 1}
	edited := file
	edited.Made, edited.Edited, edited.Intake, edited.Resumed = true, 3, 8, true
	edited.Kinds = []server.KindCount{{Kind: "peg", N: 1}, {Kind: "gate", By: intake.ByName, N: 2}, {Kind: "gully", By: intake.ByFormat, N: 3}, {Kind: "track", By: intake.BySymbol, N: 4}}
	edited.Edits = []server.FeatureEdit{{Feature: "f-1", Kind: "peg", Name: "A 1", Changes: []intake.Change{{Label: "Notes", From: raw(`null`), To: raw(`"new"`)}, {Label: "Place", Words: "moved 3 m"}}, Clashes: []string{"notes", "place"}}}
	edited.StruckFeatures, edited.Absent, edited.AbsentNames, edited.LeftOut = 1, 3, []string{"B 2", "C 3"}, 1
	edited.Notes, edited.Refused = []*model.Problem{{Reason: "a note"}}, []*model.Problem{{Reason: "a row"}}
	dry := file
	dry.Made, dry.DryRun, dry.Features, dry.StruckFeatures, dry.Absent, dry.AbsentNames, dry.LeftOut = true, true, 1, 2, 1, []string{"B 2"}, 2
	sealed := server.Taken{Device: "d-1", From: "R. Field", By: "A. Clerk", New: 1, Known: 2, PhotosNew: 3, PhotosKnown: 4, On: []string{"Flat", "Hut"}, HandedIn: 1}
	nowhere := sealed
	nowhere.On, nowhere.HandedIn, nowhere.New = nil, 0, 2
	several := sealed
	several.HandedIn = 2
	first := "f: 1 new entry, 2 known already, on Flat, Hut\n  handed over by R. Field; photos: 3 new, 4 known already\n"
	for name, c := range map[string]struct {
		taken server.Taken
		want  string
	}{
		"file": {file, "f: 2 new, 1 known already, 1 edited, of 4 features (GPX)\n  and 1 more edit\n"},
		"edited": {edited, "New property: Flat\nf: 2 new, 1 known already, 3 edited, of 4 features (GPX)\n" +
			"  1 as peg\n  2 as gate, by their names\n  3 as gully\n  4 as track, by sym\n" +
			"  Peg A 1:\n    Notes: nothing -> \"new\"\n    Place: moved 3 m\n    somebody else changed notes, place meanwhile: a clash to settle on the field page\n" +
			"  and 2 more edits\n  1 known feature was struck out, and stays so; restore with --restore UID, or on the field page\n" +
			"  3 features are not in the file, and stay: B 2, C 3, ...\n  a note\n  It was cut off before; all of it is in now\n" +
			"  To undo it: headcut intake --data d --undo 8\n  1 part of the file was left out\n  not taken: a row\n"},
		"dry run": {dry, "f: 2 new, 1 known already, 1 edited, of 1 feature (GPX); dry run: nothing was changed\n  and 1 more edit\n" +
			"  2 known features were struck out, and stay so; restore with --restore UID, or on the field page\n" +
			"  1 feature is not in the file, and stays: B 2\n  2 parts of the file were left out\n"},
		"sealed":         {sealed, first + "  1 of the new entries is not the word of the phone that it names: its author is \"..., handed in by A. Clerk\"\n"},
		"sealed several": {several, first + "  2 of the new entries are not the word of the phone that they name: their author is \"..., handed in by A. Clerk\"\n"},
		"sealed nowhere": {nowhere, "f: 2 new entries, 2 known already\n  handed over by R. Field; photos: 3 new, 4 known already\n"},
	} {
		if got := told(func(call *call) { printTaken(call, "d", "f", c.taken) }); got != c.want {
			t.Errorf("%s: told\n%swant\n%s", name, got, c.want)
		}
	}
	at := time.Date(2026, 5, 13, 2, 7, 0, 0, time.UTC)
	list := server.Intake{Number: 8, At: at, Property: flat, File: "f.gpx", New: 2, Edited: 1}
	for want, change := range map[string]func(*server.Intake){
		"":         func(*server.Intake) {},
		", undone": func(i *server.Intake) { i.Undone = true },
		", undone but for 3 that stay as they are":                    func(i *server.Intake) { i.Undone, i.Kept = true, 3 },
		": on its way in":                                             func(i *server.Intake) { i.Underway, i.CutOff = true, true },
		": cut off; take the same file in again to go on, or undo it": func(i *server.Intake) { i.CutOff = true },
	} {
		one := list
		change(&one)
		if got, want := intakeWords(one), "8  13 May 2026, 02:07 UTC  Flat, f.gpx: 2 new, 1 edited"+want; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for _, c := range []struct{ got, want string }{
		{featureName("check-dam", "Fig tree", "u"), "Check dam Fig tree"}, {featureName("strange", "", "u"), "strange u"}, {featureName("", "", "u"), "feature u"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// TestShortly: of two long values, what is about the first place where they differ.
func TestShortly(t *testing.T) {
	long := strings.Repeat("0123456789", 9)
	for _, c := range []struct{ from, to, wantFrom, wantTo string }{
		{"", "null", "nothing", "nothing"},
		{"1", "2", "1", "2"},
		{long[:80], long[:79] + "x", long[:80], long[:79] + "x"},
		{long[:80], long, long[:80], "..." + long[50:]},
		{long, long[:40] + "x", "..." + long[10:87] + "...", long[:40] + "x"},
		{long, long[:30] + "x" + long[31:], long[:80] + "...", long[:30] + "x" + long[31:80] + "..."},
		{long, long[:31] + "x" + long[32:], "..." + long[1:78] + "...", "..." + long[1:31] + "x" + long[32:78] + "..."},
		{long[:40] + "é" + long + long, long[:41], "..." + long[10:40] + "é" + (long + long)[:45] + "...", long[:41]},
	} {
		if from, to := shortly(json.RawMessage(c.from), json.RawMessage(c.to)); from != c.wantFrom || to != c.wantTo {
			t.Errorf("%q and %q are\n%q and %q, want\n%q and %q", c.from, c.to, from, to, c.wantFrom, c.wantTo)
		}
	}
}

// TestChecksInWords: what a check of a register and its photos found.
func TestChecksInWords(t *testing.T) {
	sha := func(n byte) register.Hash { return register.Hash{n} }
	var many21 []register.Hash
	for n := range 21 {
		many21 = append(many21, sha(byte(n)))
	}
	counted := "5 entries, 2 features and 1 photo on 1 property that has any; names and rights in 3 entries.\n"
	sum := boltstore.Audited{}
	sum.Entries, sum.Features, sum.Properties, sum.Photos.Whole = 8, 4, 2, 1
	sum.Of = map[string]boltstore.Counts{}
	var of = sum.Of[server.OfficeRegister]
	of.Entries, of.Features = 3, 2
	sum.Of[server.OfficeRegister] = of
	none := sum
	none.Of, none.Properties, none.Photos.Whole = nil, 2, 0
	awaited, bad, cut, cutBad, unlisted := sum, sum, sum, sum, sum
	awaited.Awaited, awaited.With = 2, []boltstore.PhotosWith{{Device: "d-1", Author: "R. Field", Photos: []register.Hash{sha(1), sha(2)}}}
	bad.Photos.Damaged, bad.Photos.Missing = []register.Hash{sha(1)}, []register.Hash{sha(2), sha(3)}
	cut.Unfinished, cut.Awaited = true, 1
	cutBad.Unfinished, cutBad.Photos.Damaged = true, []register.Hash{sha(1)}
	unlisted.Photos.Unlisted, unlisted.Awaited = 2, 1
	for name, c := range map[string]struct {
		found     boltstore.Audited
		want, err string
	}{
		"sound":       {sum, "Head: " + counted, ""},
		"no names":    {none, "Head: 8 entries, 4 features and 0 photos on 2 properties that have any; names and rights in 0 entries.\n", ""},
		"awaited":     {awaited, "Head: " + counted + "Photos that entries name and that have not come yet: 2.\nNot here, and the device of R. Field (d-1) may have 2 photos: " + sha(1).String() + ", " + sha(2).String() + ".\n", ""},
		"bad":         {bad, "Whole: " + counted, "1 photo is damaged: " + sha(1).String() + "; 2 photos are missing, having been received once: " + sha(2).String() + ", " + sha(3).String()},
		"cut":         {cut, "Unfinished backup, so far: " + counted + "Photos that entries name and that are not here: 1; it is not known which of them had come.\n", cutShort},
		"cut and bad": {cutBad, "Unfinished backup, so far: " + counted + "1 photo is damaged: " + sha(1).String() + " (the fix)\n", cutShort},
		"unlisted":    {unlisted, "Whole: " + counted + "Photos that entries name and that are not here: 1; it is not known which of them had come.\n", "2 photos came once, and neither"},
	} {
		var err error
		got := told(func(call *call) { err = tellAudit(call, "Head", c.found, "the fix") })
		if got != c.want {
			t.Errorf("%s: told\n%swant\n%s", name, got, c.want)
		}
		if p := plainly(errors.Join(err)); err == nil != (c.err == "") || err != nil && !strings.HasPrefix(p.Reason, c.err) {
			t.Errorf("%s: %v, want %q", name, err, c.err)
		}
	}
	for n, want := range map[int]string{1: sha(0).String(), 2: sha(0).String() + ", " + sha(1).String()} {
		if got := hashes(many21[:n]); got != want {
			t.Errorf("%d hashes are %q", n, got)
		}
	}
	if got := hashes(many21[:20]); strings.Contains(got, "more") || strings.Count(got, ",") != 19 {
		t.Errorf("20 hashes are %q", got)
	}
	if got := hashes(many21); !strings.HasSuffix(got, sha(19).String()+" and 1 more") {
		t.Errorf("21 hashes are %q", got)
	}
}

// TestSalvageInWords: what was found and lost of each property.
func TestSalvageInWords(t *testing.T) {
	names := map[string]string{"p": "Flat", server.OfficeRegister: "names and rights"}
	office := boltstore.SalvagedProperty{ID: server.OfficeRegister, Entries: 1}
	whole := boltstore.SalvagedProperty{ID: "p", Entries: 2, Last: 2}
	torn := boltstore.SalvagedProperty{ID: "q", Entries: 3, Last: 20, Lost: []boltstore.NumberRun{{First: 4, Last: 4}, {First: 17, Last: 20}}, Refused: []string{"it is of a newer version"}}
	head, look := "Salvaged to new. Devices will send again what they still have.\n", "Look through 'headcut devices'"
	for name, c := range map[string]struct {
		out  boltstore.Salvaged
		want []string
		not  string
	}{
		"whole":   {boltstore.Salvaged{Properties: []boltstore.SalvagedProperty{office, whole}}, []string{head + "names and rights: 1 entry found\nFlat: 2 entries found\n"}, look},
		"torn":    {boltstore.Salvaged{Properties: []boltstore.SalvagedProperty{office, torn}}, []string{head + "names and rights: 1 entry found\nproperty q: 3 entries found, lost: entry 4, entries 17 to 20\n  not taken: it is of a newer version\n" + look}, "nothing found"},
		"damaged": {boltstore.Salvaged{Properties: []boltstore.SalvagedProperty{whole}, Damage: errors.New("page 3 is torn")}, []string{head + "The register in old is not whole: page 3 is torn.\n", "Flat: 2 entries found; there may have been more after entry 2\nnames and rights: nothing found\n" + look}, "lost:"},
	} {
		got := told(func(call *call) { call.tellSalvaged("old", "new", names, c.out) })
		for _, want := range c.want {
			if !strings.Contains(got, want) {
				t.Errorf("%s: told\n%swant\n%s", name, got, want)
			}
		}
		if strings.Contains(got, c.not) {
			t.Errorf("%s: told\n%swithout %q", name, got, c.not)
		}
	}
}

// TestBuildInWords: the commit, when it was made, and whether files were changed since.
func TestBuildInWords(t *testing.T) {
	tail := fmt.Sprintf("\nentries of version %d; %s, %s/%s\n", register.Version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
	set := func(pairs ...string) *debug.BuildInfo {
		info := &debug.BuildInfo{}
		for i := 0; i < len(pairs); i += 2 {
			info.Settings = append(info.Settings, debug.BuildSetting{Key: pairs[i], Value: pairs[i+1]})
		}
		return info
	}
	for _, c := range []struct {
		info *debug.BuildInfo
		want string
	}{
		{set(), "headcut of unknown commit (not built from a repository)"},
		{set("vcs.modified", "true"), "headcut of unknown commit (not built from a repository)"},
		{set("vcs.revision", "1a2b", "vcs.modified", "false"), "headcut 1a2b"},
		{set("vcs.revision", "1a2b", "vcs.modified", "true", "vcs.time", "2026-05-13T02:00:00Z"), "headcut 1a2b, with files changed since\ncommitted 2026-05-13T02:00:00Z"},
	} {
		if got := buildWords(c.info); got != c.want+tail {
			t.Errorf("%q, want %q", got, c.want+tail)
		}
	}
}
