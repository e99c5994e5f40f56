package main

import (
	"cmp"
	"context"
	"fmt"

	"headcut/server"
)

var shareCommand = command{
	name: "share", args: "--data DIR --property NAME [--for NAME] [--days DAYS] [--address URL]\n--data DIR --revoke NAME|ROW|LINK", summary: "make a link that shows a landholder the works",
	help: `
Prints a link that shows the works of one property to whoever has it: no account, read
only, nothing sensitive, photos without the place, camera and names that a camera writes into
them, and nothing that search engines may list. It is shown this once, under the address at which the server is
known. --for says whom it is for, in 'headcut links', which lists them. --revoke withdraws one
at once.`,
	run: runShare,
}

func runShare(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	property := f.String("property", "", "`NAME` the property")
	days := f.Int("days", 365, "`DAYS` how long the link lasts")
	who := f.String("for", "", "`NAME` whom the link is for, in at most 100 letters")
	address := f.String("address", "", "`URL` address of the server, when it is not the one that serve was started with")
	revoke := f.String("revoke", "", "`NAME|ROW|LINK` link to withdraw: whom it is for, its property, its row, or the link")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || (*revoke == "") == (*property == "") || len(c.args) > 0 {
		return c.misused("say --data DIR with --property NAME, or with --revoke LINK")
	}
	if *days < 1 || *days > 3660 {
		return c.misused("--days goes from 1 to 3660")
	}
	if *address != "" {
		var err error
		if *address, err = server.ServerAddress(*address); err != nil {
			return err
		}
	}
	if *revoke != "" {
		return revokeLink(ctx, c, *data, *revoke)
	}
	got, err := post[server.Shared](ctx, *data, "/office/share", server.ShareRequest{Property: *property, For: *who, Days: *days})
	if err != nil {
		return err
	}
	*address = cmp.Or(*address, got.Address)
	fmt.Fprintf(c.stdout, "%s%s\nIt works until %s.\n", *address, got.Path, server.DayWords(got.Until))
	if *address == "" {
		fmt.Fprint(c.stdout, "The server does not know its address yet: put it before this, or give --address.\n")
	}
	return nil
}
