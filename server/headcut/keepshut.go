package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"headcut/model"
	"headcut/server"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// The rights in a register that was restored or salvaged.

// unconfirmedFolder is where such a register is made, in the data folder that it is for. It is there
// from before the first photo comes until the register is in its place, and so marks a restore that
// is under way or was cut short.
const unconfirmedFolder = "unconfirmed"

// beginUnconfirmed makes an empty one, on the disk before anything else is. That of a restore which was
// cut short is emptied, so that the folder is never without its mark.
func beginUnconfirmed(data string) error {
	dir := filepath.Join(data, unconfirmedFolder)
	if err := os.Mkdir(dir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	if err := emptyFolder(dir); err != nil {
		return err
	}
	return boltstore.FlushFolder(data)
}

// emptyFolder removes what is in a folder, if it is there.
func emptyFolder(dir string) error {
	held, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	for _, one := range held {
		err = errors.Join(err, os.RemoveAll(filepath.Join(dir, one.Name())))
	}
	return err
}

// restoredRights are what becomes of them.
type restoredRights struct {
	replaces string          // folder of the register that is replaced, "" when it is not at hand
	backup   *store.IsBackup // when that register is a backup, which does not know what came after it
	damaged  bool            // of that register more may be lost than can be told
	shut     server.KeptShut
	over     server.CarriedOver
}

// make gives a way to make a register as another does, but with its phones and links kept shut,
// and without the rights that the replaced register took away. The register comes to its place
// only then, so that whenever this ends nobody can serve one that lets in whom it should not.
func (r *restoredRights) make(register func(ctx context.Context, from, to string) error) func(ctx context.Context, from, to string) error {
	return func(ctx context.Context, from, to string) error {
		dir := filepath.Join(filepath.Dir(to), unconfirmedFolder)
		aside := filepath.Join(dir, registerFile)
		if err := register(ctx, from, aside); err != nil {
			return err
		}
		if err := r.takeAway(ctx, dir); err != nil {
			return err
		}
		if err := os.Rename(aside, to); err != nil {
			return err
		}
		return boltstore.FlushFolder(filepath.Dir(to))
	}
}

func (r *restoredRights) takeAway(ctx context.Context, dir string) (err error) {
	s, err := boltstore.Open(filepath.Join(dir, registerFile), boltstore.Options{Now: time.Now})
	if err != nil {
		return err
	}
	photos, err := boltstore.OpenPhotos(filepath.Join(dir, photoFolder))
	if err != nil {
		return errors.Join(err, s.Close())
	}
	d, err := newDataDir(ctx, dir, s, photos, slog.New(slog.DiscardHandler))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, d.close(ctx)) }()
	if r.replaces != "" {
		if err := r.carryOver(ctx, d.server, dir); err != nil {
			return err
		}
	}
	r.shut, err = d.server.KeepShut(ctx)
	return err
}

// carryOver reads what the replaced register took away: of a damaged one, as far as it can be read.
func (r *restoredRights) carryOver(ctx context.Context, to *server.Server, scratch string) error {
	path := filepath.Join(r.replaces, registerFile)
	err := r.carryOverFrom(ctx, to, path)
	if !errors.Is(err, store.ErrDamaged) {
		return err
	}
	readable := filepath.Join(scratch, "replaced.bolt")
	found, err := boltstore.Salvage(ctx, path, readable)
	if err != nil {
		return err
	}
	at := slices.IndexFunc(found.Properties, func(p boltstore.SalvagedProperty) bool { return p.ID == server.OfficeRegister })
	if at < 0 || found.Properties[at].Entries == 0 {
		return &model.Problem{Path: "--replaces", Reason: "nothing of the names and rights in " + r.replaces + " can be read any more", Fix: "leave it out"}
	}
	r.damaged = true
	return r.carryOverFrom(ctx, to, readable)
}

func (r *restoredRights) carryOverFrom(ctx context.Context, to *server.Server, path string) (err error) {
	s, err := boltstore.Open(path, boltstore.Options{Now: time.Now, ReadOnly: true})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if r.backup, err = s.OfBackup(); err != nil {
		return err
	}
	if r.over, err = to.CarryOver(ctx, s); errors.Is(err, server.ErrOtherRegister) {
		return &model.Problem{Path: "--replaces", Reason: "the register in " + r.replaces + " has nothing in common with the one that is restored: it is another one",
			Fix: "give the data folder that was served before, or leave it out"}
	}
	return err
}

// check refuses what cannot be the folder of a replaced register.
func (r *restoredRights) check(from string) error {
	if r.replaces == "" {
		return nil
	}
	if sameFolder(r.replaces, from) {
		return &model.Problem{Path: "--replaces", Reason: r.replaces + " is what is restored from", Fix: "give the data folder that was served before, or leave it out"}
	}
	if err := copiedInPart("--replaces", r.replaces); err != nil {
		return err
	}
	if _, err := os.Stat(filepath.Join(r.replaces, registerFile)); err != nil {
		return &model.Problem{Path: "--replaces", Reason: "there is no register in " + r.replaces, Fix: "give the data folder that was served before, or leave it out"}
	}
	return notServed(r.replaces, &model.Problem{Path: "--replaces", Reason: "a server runs on " + r.replaces, Fix: "stop it first: what it takes away meanwhile would be lost"})
}

// tell says what was carried over and what is kept shut; why is what nobody can know.
func (r *restoredRights) tell(c *call, why string) {
	for _, d := range r.over.Revoked {
		fmt.Fprintf(c.stdout, "Carried over from %s: the phone of %s (row %d) has no rights since %s.\n", r.replaces, d.Author, d.Row, server.DayWords(d.Revoked))
	}
	for _, d := range r.over.Narrowed {
		fmt.Fprintf(c.stdout, "Carried over from %s: the phone of %s (row %d) has no right to %s.\n", r.replaces, d.Author, d.Row, strings.Join(d.Lost, ", "))
	}
	for _, l := range r.over.Links {
		fmt.Fprintf(c.stdout, "Carried over from %s: the link to %s%s (row %d) is withdrawn since %s.\n", r.replaces, l.Property, forWhom(l), l.Row, server.DayWords(l.Revoked))
	}
	r.tellLacking(c)
	if r.replaces != "" && len(r.over.Revoked)+len(r.over.Narrowed)+len(r.over.Links) == 0 {
		fmt.Fprintf(c.stdout, "No rights were taken away in %s that this register does not know.\n", r.replaces)
	}
	if r.backup != nil {
		fmt.Fprintf(c.stdout, "The register in %s is itself a backup of %s: what was taken away later is not known.\n", r.replaces, r.backup.At.Local().Format("2 January 2006, 15:04"))
	}
	if r.damaged {
		fmt.Fprintf(c.stdout, "The register in %s is damaged: what it took away last may not be among this.\n", r.replaces)
	}
	if r.shut.Devices+r.shut.Links > 0 {
		fmt.Fprintf(c.stdout, "%s and %s are kept shut, because %s: look at 'headcut devices' and 'headcut links', revoke what was lost, and let the others in with --confirm NAME|ROW or --confirm all. Phones keep what they have.\n",
			many(r.shut.Devices, "phone", "phones"), many(r.shut.Links, "link", "links"), why)
	}
}

// tellLacking names what the replaced register has and the restored one has not.
func (r *restoredRights) tellLacking(c *call) {
	for _, d := range r.over.Lacking.Devices {
		fmt.Fprintf(c.stdout, "Only in %s: the phone of %s (row %d there), enrolled on %s: enrol it again.\n", r.replaces, d.Author, d.Row, server.DayWords(d.Enrolled))
	}
	for _, l := range r.over.Lacking.Links {
		fmt.Fprintf(c.stdout, "Only in %s: the link to %s%s (row %d there), made on %s: share it again.\n", r.replaces, l.Property, forWhom(l), l.Row, server.DayWords(l.Made))
	}
	for _, i := range r.over.Lacking.Intakes {
		fmt.Fprintf(c.stdout, "Only in %s: the intake of %s into %s on %s: take the file in again.\n", r.replaces, i.File, i.Property.Name, server.DayWords(i.At))
	}
}

func forWhom(l server.LinkRow) string {
	if l.For == "" {
		return ""
	}
	return " for " + l.For
}
