package main

import (
	"cmp"
	"fmt"
	"strings"
	"text/tabwriter"
	"time"

	"headcut/server"
)

// table writes columns of text as wide as they need be.
type table struct{ *tabwriter.Writer }

func newTable(c *call, heads ...string) table {
	t := table{tabwriter.NewWriter(c.stdout, 0, 0, 2, ' ', 0)}
	t.row(heads...)
	return t
}

func (t table) row(cells ...string) {
	fmt.Fprintln(t, strings.TrimRight(strings.Join(cells, "\t"), "\t "))
}

func seen(at time.Time) string {
	if at.IsZero() {
		return "never"
	}
	return server.DayWords(at)
}

// both are two sentences of which either may be missing.
func both(one, other string) string {
	if one == "" || other == "" {
		return one + other
	}
	return one + "; " + other
}

func orNone(names []string) string { return cmp.Or(strings.Join(names, ", "), "none") }

// orNobody sets names apart by semicolons: "Marri, field officer" is one.
func orNobody(names []string) string { return cmp.Or(strings.Join(names, "; "), "nobody") }

// roomWords is how much is used, as far as a running server has counted.
func roomWords(used *server.RoomUsed) string {
	if used == nil {
		return ""
	}
	return used.String()
}

func entriesWords(row server.PropertyRow) string {
	if row.Parts > 0 {
		return fmt.Sprintf("%d and %d of its parts", row.Entries, row.Parts)
	}
	return fmt.Sprint(row.Entries)
}

func propertyState(row server.PropertyRow, all []server.PropertyRow) string {
	for _, other := range all {
		if other.ID == row.Into {
			return fmt.Sprintf("part of %s (row %d)", other.Name, other.Row)
		}
	}
	switch {
	case row.Begun && row.SameAs > 0:
		return fmt.Sprintf("begun by %s on %s, not accepted yet; row %d has the same name", row.By, server.DayWords(row.Since), row.SameAs)
	case row.Begun:
		return fmt.Sprintf("begun by %s on %s, not accepted yet", row.By, server.DayWords(row.Since))
	}
	return ""
}

// photosNotHere says how many photos of a property are not here, and who may have them.
func photosNotHere(row server.PropertyRow) string {
	if row.PhotosNotHere == 0 {
		return ""
	}
	said := many(row.PhotosNotHere, "photo is", "photos are") + " not here"
	if len(row.PhotosWith) > 0 {
		said += ", maybe on the phone of " + orNobody(row.PhotosWith)
	}
	return said
}

func deviceState(row server.DeviceRow, all []server.DeviceRow) string {
	switch {
	case row.FollowedBy > 0:
		return fmt.Sprintf("enrolled again on %s, as row %d", server.DayWords(all[row.FollowedBy-1].Enrolled), row.FollowedBy)
	case !row.Revoked.IsZero():
		return "no rights since " + server.DayWords(row.Revoked)
	case !row.Shut.IsZero():
		return "kept shut since the restore of " + server.DayWords(row.Shut)
	case !row.Cloned.IsZero():
		return fmt.Sprintf("others have its numbers since %s: headcut enrol --again %d", server.DayWords(row.Cloned), row.Row)
	}
	return ""
}

// photosThere says how many photos a phone may have that are not here.
func photosThere(row server.DeviceRow) string {
	if row.PhotosNotHere == 0 {
		return ""
	}
	return "may have " + many(row.PhotosNotHere, "photo that is", "photos that are") + " not here"
}

func linkState(row server.LinkRow, now time.Time) string {
	switch {
	case !row.Revoked.IsZero():
		return "withdrawn " + server.DayWords(row.Revoked)
	case now.After(row.Until):
		return "expired"
	case !row.Shut.IsZero():
		return "kept shut since the restore of " + server.DayWords(row.Shut)
	}
	return ""
}
