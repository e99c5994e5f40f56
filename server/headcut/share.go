package main

import (
	"context"
	"fmt"
	"strings"

	"headcut/server"
)

var shareCommand = command{
	name: "share", args: "--data DIR --property NAME", summary: "make a link that shows a landholder the works",
	help: `
Prints a link that shows the works of one property to whoever holds it: no account, read
only, nothing sensitive. It is shown this once. --revoke LINK takes one back at once.`,
	run: runShare,
}

func runShare(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "data `folder`")
	property := f.String("property", "", "`name` of the property")
	days := f.Int("days", 365, "how many `days` the link lasts")
	address := f.String("address", "http://127.0.0.1:8080", "the `URL` of the server, as people reach it")
	revoke := f.String("revoke", "", "`link` to take back")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || (*revoke == "") == (*property == "") || len(c.args) > 0 {
		return c.misused("say --data DIR with --property NAME, or with --revoke LINK")
	}
	if *days < 1 || *days > 3660 {
		return c.misused("--days goes from 1 to 3660")
	}
	if err := mustExist(*data); err != nil {
		return err
	}
	client, done, err := office(ctx, *data)
	if err != nil {
		return err
	}
	defer done()
	if *revoke != "" {
		secret := (*revoke)[strings.LastIndex(*revoke, "/")+1:]
		if err := post(ctx, client, "/office/unshare", server.Revocation{Link: secret}, &struct{}{}); err != nil {
			return err
		}
		fmt.Fprintln(c.stdout, "The link no longer opens.")
		return nil
	}
	var got server.Shared
	if err := post(ctx, client, "/office/share", server.ShareRequest{Property: *property, Days: *days}, &got); err != nil {
		return err
	}
	fmt.Fprintf(c.stdout, "%s%s\nIt works until %s.\n", strings.TrimRight(*address, "/"), got.Path, got.Until.Local().Format("2 January 2006"))
	return nil
}
