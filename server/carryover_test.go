package server

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"headcut/model"
)

// What was taken away in the register that a restored one replaces is taken away here too, once; what is
// in force there alone is listed, and nothing is given.
func TestCarryOverTakesAwayAndGivesNothing(t *testing.T) {
	now, then := newSite(t), newSite(t)
	write := func(s *site, changes ...change) {
		t.Helper()
		if err := s.office.write(t.Context(), officeAuthor, changes...); err != nil {
			t.Fatal(err)
		}
	}
	device := func(id string, is access) change {
		return made(&deviceRecord{filed: filed{id: id}, access: is, Device: id, Author: strings.ToUpper(id), TokenHash: "token of " + id, Properties: []string{"north", "south"}})
	}
	link := func(id string, days int, is access) change {
		return made(&linkRecord{filed: filed{id: id}, access: is, LinkHash: "secret of " + id, Property: "north", For: id, Until: second(now.at.AddDate(0, 0, days))})
	}
	gone := access{RevokedOn: second(now.at)}
	for _, s := range []*site{now, then} {
		write(s, made(&propertyRecord{filed: filed{id: "north"}, Name: "North"}), made(&propertyRecord{filed: filed{id: "south"}, Name: "South"}),
			device("lost", access{}), device("narrowed", access{}), device("kept", access{}), device("gone", gone), link("withdrawn", 9, access{}), link("open", 9, access{}))
	}
	var many []string
	for n := range 6 {
		many = append(many, fmt.Sprint("p", n))
	}
	for _, s := range []*site{now, then} {
		for _, id := range many {
			write(s, made(&propertyRecord{filed: filed{id: id}, Name: strings.ToUpper(id)}))
		}
		write(s, made(&deviceRecord{filed: filed{id: "many"}, Device: "many", Author: "MANY", TokenHash: "token of many", Properties: many}))
	}
	if _, err := then.Narrow(t.Context(), "many", "P0", "P1", "P2", "P3", "P4", "P5"); err != nil {
		t.Fatal(err)
	}
	write(now, device("only-here", access{}))
	write(then, device("newer", access{}), device("newer-and-gone", gone), link("newer-link", 1, access{}), link("past", 0, access{}), link("newer-and-withdrawn", 1, gone),
		made(&intakeRecord{filed: filed{id: "i-1"}, Number: 1, File: "a.csv"}), made(&intakeRecord{filed: filed{id: "i-2"}, Number: 2, File: "b.csv", Undone: true}))
	if _, err := then.RevokeDevice(t.Context(), "lost"); err != nil {
		t.Fatal(err)
	}
	if _, err := then.Narrow(t.Context(), "narrowed", "South"); err != nil {
		t.Fatal(err)
	}
	if _, err := then.RevokeLink(t.Context(), "withdrawn"); err != nil {
		t.Fatal(err)
	}
	if _, err := now.Narrow(t.Context(), "narrowed", "North"); err != nil {
		t.Fatal(err)
	}
	over, err := now.CarryOver(t.Context(), then.bolt)
	if err != nil {
		t.Fatal(err)
	}
	if d := now.office.devices.one(byDevice, "narrowed"); len(d.Withheld) != 2 || len(d.Properties) != 0 {
		t.Errorf("withheld from it are %v, it has %v; want both withheld, that which was taken here too", d.Withheld, d.Properties)
	}
	rowsOf := func(rows []DeviceRow) []string {
		return model.Each(rows, func(r DeviceRow) string { return r.Device })
	}
	linksOf := func(rows []LinkRow) []string { return model.Each(rows, func(r LinkRow) string { return r.For }) }
	narrowed := model.Each(over.Narrowed, func(n NarrowedDevice) string { return n.Device + " " + strings.Join(n.Lost, ",") })
	intakes := model.Each(over.Lacking.Intakes, func(i Intake) string { return i.File })
	for _, c := range []struct {
		what string
		got  []string
		want string
	}{
		{"revoked", rowsOf(over.Revoked), "lost"}, {"narrowed", narrowed, "narrowed South many P0,P1,P2,P3,P4,P5"}, {"withdrawn", linksOf(over.Links), "withdrawn"},
		{"devices that are not here", rowsOf(over.Lacking.Devices), "newer"}, {"links that are not here", linksOf(over.Lacking.Links), "newer-link"}, {"intakes that are not here", intakes, "a.csv"},
	} {
		if got := strings.Join(c.got, " "); got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
	for _, row := range now.Devices() {
		if lost := row.Device == "lost" || row.Device == "gone"; row.Revoked.IsZero() == lost || row.Device != "many" && slices.Contains(row.Properties, "South") != (row.Device != "narrowed") {
			t.Errorf("%s: revoked %v, properties %v", row.Device, row.Revoked, row.Properties)
		}
	}
	for _, row := range now.Links() {
		if row.Revoked.IsZero() != (row.For == "open") {
			t.Errorf("the link for %s is revoked: %v", row.For, row.Revoked)
		}
	}
	if again, err := now.CarryOver(t.Context(), then.bolt); err != nil || len(again.Revoked)+len(again.Narrowed)+len(again.Links) > 0 {
		t.Errorf("a second time: %+v (%v), want nothing more", again, err)
	}
	stranger := newSite(t)
	write(stranger, device("else", access{}))
	if _, err := now.CarryOver(t.Context(), stranger.bolt); !errors.Is(err, ErrOtherRegister) {
		t.Errorf("from another register: %v", err)
	}
	if _, err := stranger.CarryOver(t.Context(), newSite(t).bolt); !errors.Is(err, ErrOtherRegister) {
		t.Errorf("from an empty register: %v", err)
	}
	if _, err := newSite(t).CarryOver(t.Context(), stranger.bolt); err != nil {
		t.Errorf("into an empty register, of which a salvage may have found nothing: %v", err)
	}
}
