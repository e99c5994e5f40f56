package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"slices"
	"strings"

	"headcut/model"
	"headcut/server"
	"headcut/sync/store/boltstore"
)

// salvageAll makes a data folder of what can still be found in a damaged one, and lists what was
// lost.
func salvageAll(ctx context.Context, c *call, from, data string, rights *restoredRights) error {
	if err := notServed(from, &model.Problem{Path: "--from", Reason: "a server runs on " + from, Fix: "stop it first"}); err != nil {
		return err
	}
	var out boltstore.Salvaged
	copied, err := makeFolder(ctx, c, from, data, rights.make(func(ctx context.Context, from, to string) (err error) {
		out, err = boltstore.Salvage(ctx, from, to)
		return err
	}))
	if err != nil {
		return err
	}
	names, err := namesIn(ctx, data, out)
	if err != nil {
		return err
	}
	c.tellSalvaged(from, data, names, out)
	rights.tell(c, "a revocation may be among what was lost")
	found, err := audit(ctx, c, data)
	if err != nil {
		return err
	}
	head := sound
	if !out.Sound() {
		head = "What was salvaged is whole" // and says nothing of what was lost
	}
	if err := tellAudit(c, head, found, "look for them in a backup: 'headcut restore --photos --from BACKUP --data "+data+"'"); err != nil {
		return err
	}
	if !out.Sound() {
		return &model.Problem{Reason: "entries were lost or may have been: see above", Fix: "keep " + from + ", and let every phone sync: what it recorded and still has comes again"}
	}
	return photoProblem(copied.faults, "look for them in a backup: 'headcut restore --photos --from BACKUP --data "+data+"'")
}

// tellSalvaged lists what was found and lost of each property.
func (c *call) tellSalvaged(from, data string, names map[string]string, out boltstore.Salvaged) {
	fmt.Fprintf(c.stdout, "Salvaged to %s. Devices will send again what they still have.\n", data)
	if out.Damage != nil {
		fmt.Fprintf(c.stdout, "The register in %s is not whole: %v.\nWhole properties may be missing below, and of each one what came after the last entry that is known.\n", from, out.Damage)
	}
	for _, p := range out.Properties {
		fmt.Fprintf(c.stdout, "%s: %s found", cmp.Or(names[p.ID], "property "+p.ID), many(p.Entries, "entry", "entries"))
		if len(p.Lost) > 0 {
			fmt.Fprintf(c.stdout, ", lost: %s", numbers(p.Lost))
		}
		if out.Damage != nil {
			fmt.Fprintf(c.stdout, "; there may have been more after entry %d", p.Last)
		}
		fmt.Fprintln(c.stdout)
		for _, why := range p.Refused {
			fmt.Fprintf(c.stdout, "  not taken: %s\n", why)
		}
	}
	if !out.Sound() {
		if !slices.ContainsFunc(out.Properties, func(p boltstore.SalvagedProperty) bool { return p.ID == server.OfficeRegister }) {
			fmt.Fprintln(c.stdout, "names and rights: nothing found")
		}
		fmt.Fprintln(c.stdout, `Look through 'headcut devices', 'headcut links' and 'headcut properties' for what may be missing of names and rights:
  a phone that was revoked, or lost the right to a property, or a link that was withdrawn, may be listed as if it still had its rights: take them away again;
  a phone, link or property that is not listed any more has to be enrolled, shared or named again.`)
	}
}

// namesIn are the names of the properties of a salvaged folder by their ids. One whose name was
// lost is given another, by which it can be found and renamed.
func namesIn(ctx context.Context, data string, out boltstore.Salvaged) (names map[string]string, err error) {
	d, err := openDataDir(ctx, data, slog.New(slog.DiscardHandler))
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, d.close(ctx)) }()
	names = map[string]string{server.OfficeRegister: "names and rights"}
	for _, p := range out.Properties {
		if p.ID == server.OfficeRegister || p.Entries == 0 {
			continue
		}
		property, found, err := d.server.NameAgain(ctx, p.ID)
		if err != nil {
			return nil, err
		}
		if names[p.ID] = property.Name; !found {
			names[p.ID] += " (its name was lost: rename it with 'headcut properties')"
		}
	}
	return names, nil
}

// numbers are the numbers of lost entries: "entry 4, entries 17 to 20".
func numbers(lost []boltstore.NumberRun) string {
	var parts []string
	for _, run := range lost {
		if run.First == run.Last {
			parts = append(parts, fmt.Sprintf("entry %d", run.First))
		} else {
			parts = append(parts, fmt.Sprintf("entries %d to %d", run.First, run.Last))
		}
	}
	return strings.Join(parts, ", ")
}
