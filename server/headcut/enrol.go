package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"

	"headcut/server"
)

var enrolCommand = command{
	name: "enrol", args: "--data DIR --property NAME --author NAME", summary: "make a one-time code that enrols a device",
	help: `
Prints a code that enrols one device, within a day, for one property, and once a server
has run on the data folder also the address that the phone opens, as text and as a QR code
for its camera. A property that is not there yet is made. --revoke DEVICE takes a device's rights away instead; what it sent
stays.`,
	run: runEnrol,
}

func runEnrol(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "data `folder`")
	property := f.String("property", "", "`name` of the property")
	author := f.String("author", "", "`name` of who carries the device")
	revoke := f.String("revoke", "", "`device` whose rights to take away")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || (*revoke == "") == (*property == "" || *author == "") || len(c.args) > 0 {
		return c.misused("say --data DIR with --property NAME and --author NAME, or with --revoke DEVICE")
	}
	client, done, err := office(ctx, *data)
	if err != nil {
		return err
	}
	defer done()
	if *revoke != "" {
		if err := post(ctx, client, "/office/revoke", server.Revocation{Device: *revoke}, &struct{}{}); err != nil {
			return err
		}
		fmt.Fprintf(c.stdout, "Device %s may no longer send or read. Its entries stay.\n", *revoke)
		return nil
	}
	var got server.Invitation
	if err := post(ctx, client, "/office/invite", server.Invite{Property: *property, Author: *author}, &got); err != nil {
		return err
	}
	if got.Made {
		fmt.Fprintf(c.stdout, "New property: %s\n", got.Property.Name)
	}
	fmt.Fprintf(c.stdout, "Code for %s on %s: %s\nIt works once, until %s.\n",
		*author, got.Property.Name, got.Code, got.Until.Local().Format("15:04 on 2 January 2006"))
	if got.Address == "" {
		return nil
	}
	picture, err := qrText(got.Address, isTerminal(c.stdout))
	if err != nil {
		return err
	}
	fmt.Fprintf(c.stdout, "On the phone, open %s or scan this:\n%s", got.Address, picture)
	return nil
}

// post asks the office with a JSON body.
func post(ctx context.Context, client *http.Client, path string, body, answer any) error {
	raw, err := json.Marshal(body)
	if err != nil {
		return err
	}
	return server.Ask(ctx, client, http.MethodPost, path, bytes.NewReader(raw), answer)
}
