package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"

	"headcut/model"
	"headcut/server"
)

var enrolCommand = command{
	name: "enrol", args: "--data DIR --property NAME… --author NAME [--new]\n--data DIR --again NAME|ROW\n--data DIR --property NAME… --device NAME|ROW [--new]\n--data DIR --revoke NAME|ROW", summary: "make a one-time code for a phone or an office computer, or give a phone more properties",
	help: `
Prints a code that enrols one phone, within a day, for one property or several: give
--property for each. A property that is not there yet is made, but for one whose name is
nearly that of another: --new makes that too. What the phone records is by
the NAME given here: the phone cannot choose another. Once a server has run on the
data folder, the address that the phone opens is printed too, as text and as a QR code for
its camera. An office computer enrols in the same way, on its own page, whose address is printed
too: to the register it is one more phone. On a phone that is enrolled already the code adds its properties to those that
the phone has.

A phone that says that another records under its number, or that was refused, needs no more
than a new code: --again NAME|ROW makes one for the same person and properties. With it the
phone gets a number of its own, and what it had not sent goes along, also what was recorded
under another name before. Nothing on the phone is lost by that, whoever took its number. The
number that it had before ends when the code is used, also on a new phone: a copy of the phone is
shut out then, and what it saves to a file goes in as handed in. The code is for that one phone: one
that was another is refused. Of two codes for one phone the first that is used ends the other, and
revoking the phone ends both. A code made with --property gives what it names and nothing that
the phone was before, and ends nothing. Entries of a name that the office did not give
the phone are refused and stay on it.

--device NAME|ROW gives a phone that is enrolled more properties without a code: it loads
them at its next connection. 'headcut devices' lists the rows. --revoke NAME|ROW takes a
phone's rights away, and with --property NAME those to that property alone; what it sent stays.`,
	run: runEnrol,
}

func runEnrol(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	var properties []string
	severalTimes(f, "property", "`NAME` a property; may be given several times", &properties)
	author := f.String("author", "", "`NAME` who carries the phone")
	device := f.String("device", "", "`NAME|ROW` phone to give more properties: who carries it, its row or its id")
	again := f.String("again", "", "`NAME|ROW` phone to enrol again: who carries it, its row or its id")
	revoke := f.String("revoke", "", "`NAME|ROW` phone whose rights to take away: who carries it, its row or its id")
	makeNew := f.Bool("new", false, "make a property though another has a name like it")
	if err := c.parse(f); err != nil {
		return err
	}
	ways := 0
	for _, one := range []string{*author, *again, *device, *revoke} {
		if one != "" {
			ways++
		}
	}
	if *data == "" || ways != 1 || *author+*device != "" && len(properties) == 0 || len(c.args) > 0 {
		return c.misused("say --data DIR with --property NAME and --author NAME, with --again NAME|ROW, with --device NAME|ROW and --property NAME, or with --revoke NAME|ROW and any --property NAME")
	}
	switch {
	case *revoke != "":
		return revokeDevice(ctx, c, *data, *revoke, properties)
	case *device != "":
		return widen(ctx, c, *data, server.Widening{Device: *device, Properties: properties, New: *makeNew})
	}
	return invite(ctx, c, *data, server.Invite{Properties: properties, Author: *author, Again: *again, New: *makeNew})
}

func invite(ctx context.Context, c *call, data string, ask server.Invite) error {
	got, err := post[server.Invitation](ctx, data, "/office/invite", ask)
	if err != nil {
		return err
	}
	return c.tellInvited(got)
}

func (c *call) tellInvited(got server.Invitation) error {
	printMade(c, got.Made)
	on := strings.Join(model.Each(got.Properties, func(p server.Property) string { return p.Name }), ", ")
	fmt.Fprintf(c.stdout, "Code for %s on %s: %s\nIt works once, until %s.\n",
		got.Author, cmp.Or(on, "what the phone began"), got.Code, got.Until.Local().Format("15:04 on 2 January 2006"))
	if got.Again > 0 {
		fmt.Fprintf(c.stdout, "It enrols the phone in row %d again: when it is used, that number ends for every phone that has it.\n", got.Again)
	}
	if got.Address == "" {
		fmt.Fprint(c.stdout, "The server does not know its address yet: start it once with 'headcut serve --address'.\n")
		return nil
	}
	picture, err := qrText(got.Address, isTerminal(c.stdout))
	if err != nil {
		return err
	}
	fmt.Fprintf(c.stdout, "On a computer, open %s\nOn a phone, open %s or scan this:\n", got.Desk, got.Address)
	_, err = io.WriteString(plainOutput(c.stdout), picture)
	return err
}

func printMade(c *call, made []server.Property) {
	for _, p := range made {
		fmt.Fprintf(c.stdout, "New property: %s\n", p.Name)
	}
}

func widen(ctx context.Context, c *call, data string, ask server.Widening) error {
	got, err := post[server.Widened](ctx, data, "/office/widen", ask)
	if err != nil {
		return err
	}
	printMade(c, got.Made)
	printAlsoCalled(c, got.Device.AlsoCalled)
	fmt.Fprintf(c.stdout, "The phone of %s (row %d) has now: %s.\nIt loads what is new at its next connection.\n",
		got.Device.Author, got.Device.Row, strings.Join(got.Device.Properties, ", "))
	return nil
}

func revokeDevice(ctx context.Context, c *call, data, which string, properties []string) error {
	got, err := post[server.Revoked](ctx, data, "/office/revoke", server.Revocation{Device: which, Properties: properties})
	if err != nil {
		return err
	}
	c.tellRevoked(got, properties)
	return nil
}

// tellRevoked says what a phone has lost: the right to these properties, or all of them.
func (c *call) tellRevoked(got server.Revoked, properties []string) {
	printAlsoCalled(c, got.AlsoCalled)
	if len(properties) > 0 {
		fmt.Fprintf(c.stdout, "The phone of %s (row %d, %s) may no longer send to or read %s. Its entries stay. It has now: %s.\n",
			got.Author, got.Row, got.Device, strings.Join(properties, ", "), orNone(got.Properties))
		if len(got.With) > 0 {
			fmt.Fprintf(c.stdout, "Taken with it, because they are merged: %s. What the phone has not sent of these stays on it too.\n", strings.Join(got.With, ", "))
		}
		return
	}
	fmt.Fprintf(c.stdout, "The phone of %s (row %d, %s) may no longer send or read. Its entries stay.\n", got.Author, got.Row, got.Device)
	if len(got.Before) > 0 {
		fmt.Fprintf(c.stdout, "Nor does anything that it was enrolled as before: row %s.\n", rowWords(got.Before))
	}
	if got.FollowedBy > 0 {
		fmt.Fprintf(c.stdout, "This row had ended before: the phone was enrolled again, as row %d.\n", got.FollowedBy)
	}
	if got.Codes > 0 {
		fmt.Fprintf(c.stdout, "%s to enrol it again ended too.\n", many(got.Codes, "code", "codes"))
	}
	if len(got.Others) > 0 {
		fmt.Fprintf(c.stdout, "NOT revoked, and let in still, of the same person: row %s. Look in 'headcut devices', and revoke by the row what is lost too.\n", rowWords(got.Others))
	}
}

// printAlsoCalled says that a number was taken for a row, where another goes by that number.
func printAlsoCalled(c *call, rows []int) {
	if len(rows) > 0 {
		fmt.Fprintf(c.stdout, "The number was taken as a row of the list. Row %s goes by that number too: give its own row if it was meant.\n", rowWords(rows))
	}
}

func rowWords(rows []int) string {
	return strings.Join(model.Each(rows, strconv.Itoa), ", ")
}
