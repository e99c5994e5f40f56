package main

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"time"

	"headcut/server"
)

var propertiesCommand = command{
	name: "properties", args: "--data DIR\n--data DIR --accept NAME|ROW [--name NEW]\n--data DIR --rename NAME|ROW --name NEW\n--data DIR --merge NAME|ROW --into NAME|ROW [--let-in]", summary: "list the properties; accept, rename or merge one that a phone began",
	help: `
Lists the properties with their rows, who may read and write them, and how many entries each
has. A property that an officer began with no signal is kept whole, and is seen by that phone
and by the office alone, until the office accepts it:

  --accept NAME|ROW [--name NEW]     make it one of the office's, under its name or another
  --rename NAME|ROW --name NEW       give any property another name
  --merge NAME|ROW --into NAME|ROW   show its features as those of another property; with
                                     --let-in its phones may read and write all of that one

Where photos that the register names are not here, it says who may have them on the phone:
phones send them again by themselves when they connect.

Merging moves nothing: entries stay as they were written, those that phones still send follow,
and --accept takes the property out of the other again. Phones follow at their next
connection. Each of these may be repeated and changes nothing then.`,
	run: runProperties,
}

func runProperties(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	accept := f.String("accept", "", "`NAME|ROW` property to accept")
	rename := f.String("rename", "", "`NAME|ROW` property to rename")
	merge := f.String("merge", "", "`NAME|ROW` property to merge into another")
	name := f.String("name", "", "`NEW` new name, with --accept or --rename")
	into := f.String("into", "", "`NAME|ROW` property to merge into")
	letIn := f.Bool("let-in", false, "with --merge: phones of the one may read and write all of the other")
	if err := c.parse(f); err != nil {
		return err
	}
	var ask server.PropertyChange
	given := 0
	for do, which := range map[string]string{"accept": *accept, "rename": *rename, "merge": *merge} {
		if which != "" {
			given, ask = given+1, server.PropertyChange{Do: do, Which: which, Name: *name, Into: *into, LetIn: *letIn}
		}
	}
	if *data == "" || given > 1 || len(c.args) > 0 || (*merge != "") != (*into != "") || *letIn && *merge == "" || *rename != "" && *name == "" || *name != "" && *accept+*rename == "" {
		return c.misused("say --data DIR alone, or with --accept, with --rename and --name, or with --merge and --into")
	}
	if given == 1 {
		p, err := post[server.PropertyChanged](ctx, *data, "/office/property", ask)
		if err != nil {
			return err
		}
		c.tellProperty(ask.Do, p)
		return nil
	}
	rows, err := list[server.PropertyRow](ctx, c, *data, "/office/properties", "There is no property yet. 'headcut enrol' and 'headcut intake' make one.")
	if err != nil || rows == nil {
		return err
	}
	table := newTable(c, "row", "property", "entries", "phones of", "room", "")
	for _, row := range rows {
		table.row(fmt.Sprint(row.Row), row.Name, entriesWords(row), orNobody(row.Devices), roomWords(row.Room), both(photosNotHere(row), propertyState(row, rows)))
	}
	return table.Flush()
}

// tellProperty says what became of a property that was accepted, renamed or merged.
func (c *call) tellProperty(did string, p server.PropertyChanged) {
	printAlsoCalled(c, p.AlsoCalled)
	said := map[string]string{"accept": "%s is accepted. Phones that have it learn of it at their next connection.\n",
		"rename": "It is called %s now. Phones learn of it at their next connection.\n",
		"merge":  "It is part of %s now. Phones follow at their next connection.\n"}
	fmt.Fprintf(c.stdout, said[did], p.Name)
	if len(p.TakenFrom) > 0 {
		fmt.Fprintf(c.stdout, "The right to it was taken from %s, and is not given back by this: see 'headcut help enrol' for --device and --property.\n", strings.Join(p.TakenFrom, ", "))
	}
}

var devicesCommand = command{
	name: "devices", args: "--data DIR\n--data DIR --revoke NAME|ROW [--property NAME|ROW]…\n--data DIR --label TEXT --device NAME|ROW\n--data DIR --confirm NAME|ROW|all", summary: "list the phones that have access, label one, and take its rights away",
	help: `
Lists every phone that was enrolled: its row, who carries it, what it runs on or the label that
the office gave it, its properties, when it was enrolled and when it last connected. The row of
a phone never changes, and a number is always a row. NAME is who carries the phone, its label, or else its id; of several, the one that has rights. A phone
that was enrolled again has a new row, and the old one says which.

  --revoke NAME|ROW                      take a phone's rights away
  --revoke NAME|ROW --property NAME…     take the rights to these properties alone away
  --label TEXT --device NAME|ROW         name a phone, to tell apart two of one person
  --confirm NAME|ROW|all                 let phones in again that a restore left shut

Rights end at once, also for a phone that is connected; what it sent stays. The codes to enrol it
again end too, and what it was enrolled as before has no rights either: rows of the same person
that are let in still are named. What a lost phone had not sent is lost with it. One that is found again, or was revoked by mistake, needs a new code and
loses nothing. To give a phone more properties, or one back, see 'headcut help enrol'.

Where photos that the register names are not here, not sent yet or lost since, it says which
phones may have them: each sends them again by itself when it connects.`,
	run: runDevices,
}

func runDevices(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	revoke := f.String("revoke", "", "`NAME|ROW` phone whose rights to take away: who carries it, its label, its row or its id")
	var properties []string
	severalTimes(f, "property", "`NAME|ROW` property to take from it, and no other; may be given several times", &properties)
	label := f.String("label", "", "`TEXT` the office's name for a phone")
	device := f.String("device", "", "`NAME|ROW` phone to label: who carries it, its row or its id")
	confirm := f.String("confirm", "", "`NAME|ROW|all` phone to let in again after a restore, or all of them")
	if err := c.parse(f); err != nil {
		return err
	}
	if *confirm != "" && *data != "" && len(c.args) == 0 && *revoke+*label+*device == "" {
		return confirmRights(ctx, c, *data, server.Confirmation{Device: *confirm})
	}
	if *data == "" || len(c.args) > 0 || (*label != "") != (*device != "") || *label != "" && *revoke != "" || len(properties) > 0 && *revoke == "" || *confirm != "" {
		return c.misused("say --data DIR alone, with --confirm NAME|ROW|all, with --revoke NAME|ROW and any --property NAME, or with --label TEXT and --device NAME|ROW")
	}
	if *revoke != "" {
		return revokeDevice(ctx, c, *data, *revoke, properties)
	}
	if *label != "" {
		got, err := post[server.DeviceRow](ctx, *data, "/office/label", server.Labelling{Device: *device, Label: *label})
		if err != nil {
			return err
		}
		printAlsoCalled(c, got.AlsoCalled)
		fmt.Fprintf(c.stdout, "The phone of %s (row %d) is labelled %s.\n", got.Author, got.Row, got.Label)
		return nil
	}
	rows, err := list[server.DeviceRow](ctx, c, *data, "/office/devices", "No phone is enrolled. 'headcut enrol' makes a code for one.")
	if err != nil || rows == nil {
		return err
	}
	table := newTable(c, "row", "carried by", "phone", "properties", "enrolled", "last seen", "room", "", "id")
	for _, row := range rows {
		table.row(fmt.Sprint(row.Row), row.Author, row.Label, orNone(row.Properties), server.DayWords(row.Enrolled), seen(row.Seen), roomWords(row.Room), both(deviceState(row, rows), photosThere(row)), row.Device)
	}
	return table.Flush()
}

var linksCommand = command{
	name: "links", args: "--data DIR [--revoke NAME|ROW|LINK]\n--data DIR --confirm ROW|all", summary: "list the landholders' links, and withdraw one",
	help: `
Lists every link that 'headcut share' made: its row, property, whom it is for, how long it
lasts, and when it was last opened. The links themselves are secrets and are not kept.
--revoke NAME|ROW|LINK withdraws one at once: by whom it is for, by its property when that has
only one, by its row, or by the link itself. The row of a link never changes. --confirm ROW|all
opens links again that a restore left shut.`,
	run: runLinks,
}

func runLinks(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	confirm := f.String("confirm", "", "`ROW|all` link to open again after a restore, or all of them")
	revoke := f.String("revoke", "", "`NAME|ROW|LINK` link to withdraw: whom it is for, its property, its row, or the link")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || len(c.args) > 0 || *confirm != "" && *revoke != "" {
		return c.misused("say --data DIR, and --revoke NAME|ROW|LINK to take one back or --confirm ROW|all to open those that a restore left shut")
	}
	if *confirm != "" {
		return confirmRights(ctx, c, *data, server.Confirmation{Link: *confirm})
	}
	if *revoke != "" {
		return revokeLink(ctx, c, *data, *revoke)
	}
	rows, err := list[server.LinkRow](ctx, c, *data, "/office/links", "There is no link. 'headcut share' makes one.")
	if err != nil || rows == nil {
		return err
	}
	table := newTable(c, "row", "property", "for", "made", "until", "last opened", "")
	for _, row := range rows {
		table.row(fmt.Sprint(row.Row), row.Property, row.For, server.DayWords(row.Made), server.DayWords(row.Until), seen(row.Seen), linkState(row, time.Now()))
	}
	return table.Flush()
}

func revokeLink(ctx context.Context, c *call, data, which string) error {
	got, err := post[server.LinkRow](ctx, data, "/office/unshare", server.Revocation{Link: secretOf(which)})
	if err != nil {
		return err
	}
	fmt.Fprintf(c.stdout, "The link to %s (row %d) no longer opens.\n", got.Property, got.Row)
	return nil
}

// secretOf is what a link ends with, which the register knows it by; a row or a name stays as it is.
func secretOf(link string) string {
	if at := strings.LastIndex(link, "/map/"); at >= 0 {
		return strings.TrimRight(link[at+len("/map/"):], "/")
	}
	return link
}

// confirmRights opens what a restore left shut.
func confirmRights(ctx context.Context, c *call, data string, which server.Confirmation) error {
	got, err := post[server.KeptShut](ctx, data, "/office/confirm", which)
	if err != nil {
		return err
	}
	c.tellConfirmed(which, got)
	return nil
}

func (c *call) tellConfirmed(which server.Confirmation, got server.KeptShut) {
	if which.Link != "" {
		fmt.Fprintf(c.stdout, "%s confirmed.\n", many(got.Links, "link", "links"))
		return
	}
	fmt.Fprintf(c.stdout, "%s confirmed.\n", many(got.Devices, "phone", "phones"))
	if which.Device == "all" && got.Devices > 0 {
		fmt.Fprintln(c.stdout, "Who was revoked since the backup cannot be known here, unless 'restore --replaces' carried it over: look through 'headcut devices', and revoke those phones again.")
	}
}

// list asks the office for rows, and says so when there are none.
func list[Row any](ctx context.Context, c *call, data, path, none string) (rows []Row, err error) {
	if err = ask(ctx, data, http.MethodGet, path, nil, &rows); err == nil && len(rows) == 0 {
		fmt.Fprintln(c.stdout, none)
		return nil, nil
	}
	return rows, err
}
