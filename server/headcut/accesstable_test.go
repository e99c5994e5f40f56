package main

import (
	"testing"
	"time"

	"headcut/server"
)

// TestStatesInLists: what the lists of the office say of each row besides its numbers.
func TestStatesInLists(t *testing.T) {
	day := time.Date(2026, 5, 13, 2, 0, 0, 0, time.UTC)
	root := server.PropertyRow{Property: server.Property{ID: "root", Name: "Saltbush Flat"}, Row: 2, Entries: 7}
	begun := server.PropertyRow{Property: server.Property{ID: "begun", Begun: true}, By: "Marri", Since: day}
	same, part := begun, begun
	same.SameAs, part.Into = 2, "root"
	properties := []server.PropertyRow{begun, root}

	phone := server.DeviceRow{Row: 1, FollowedBy: 2, Revoked: day, Shut: day, Cloned: day}
	revoked, shut, cloned := phone, phone, phone
	revoked.FollowedBy, shut.FollowedBy, cloned.FollowedBy = 0, 0, 0
	shut.Revoked, cloned.Revoked, cloned.Shut = time.Time{}, time.Time{}, time.Time{}
	phones := []server.DeviceRow{phone, {Row: 2, Enrolled: day}}

	link := server.LinkRow{Revoked: day, Until: day, Shut: day}
	expired, shutLink := link, link
	expired.Revoked, shutLink.Revoked, shutLink.Until = time.Time{}, time.Time{}, day.Add(time.Hour)
	for _, c := range []struct{ got, want string }{
		{propertyState(root, properties), ""},
		{propertyState(begun, properties), "begun by Marri on 13 May 2026, not accepted yet"},
		{propertyState(same, properties), "begun by Marri on 13 May 2026, not accepted yet; row 2 has the same name"},
		{propertyState(part, properties), "part of Saltbush Flat (row 2)"},
		{entriesWords(root), "7"},
		{entriesWords(server.PropertyRow{Entries: 7, Parts: 1}), "7 and 1 of its parts"},
		{photosNotHere(root), ""},
		{photosNotHere(server.PropertyRow{PhotosNotHere: 1}), "1 photo is not here"},
		{photosNotHere(server.PropertyRow{PhotosNotHere: 2, PhotosWith: []string{"Marri", "Jarrah"}}), "2 photos are not here, maybe on the phone of Marri; Jarrah"},
		{deviceState(phone, phones), "enrolled again on 13 May 2026, as row 2"},
		{deviceState(revoked, phones), "no rights since 13 May 2026"},
		{deviceState(shut, phones), "kept shut since the restore of 13 May 2026"},
		{deviceState(cloned, phones), "others have its numbers since 13 May 2026: headcut enrol --again 1"},
		{deviceState(phones[1], phones), ""},
		{photosThere(phone), ""},
		{photosThere(server.DeviceRow{PhotosNotHere: 1}), "may have 1 photo that is not here"},
		{linkState(link, day.Add(time.Second)), "withdrawn 13 May 2026"},
		{linkState(expired, day.Add(time.Second)), "expired"},
		{linkState(expired, day), "kept shut since the restore of 13 May 2026"},
		{linkState(shutLink, day.Add(time.Second)), "kept shut since the restore of 13 May 2026"},
		{linkState(server.LinkRow{Until: day}, day), ""},
		{both("one", "two"), "one; two"}, {both("", "two"), "two"}, {both("one", ""), "one"},
		{orNone(nil), "none"}, {orNone([]string{"a", "b"}), "a, b"}, {orNobody(nil), "nobody"},
		{seen(time.Time{}), "never"}, {seen(day), "13 May 2026"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
