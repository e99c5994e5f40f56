package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"headcut/model"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

var restoreCommand = command{
	name: "restore", args: "--from FOLDER --data DIR [--salvage] [--replaces OLD]\n--from FOLDER --data DIR --photos", summary: "make a data folder from a backup or a damaged register, or restore photos",
	help: `
Makes a new data folder DIR from a backup. Devices that synced after the backup was taken
notice it and send again what the backup lacks, as long as they have it. Rights may have been
taken away since the backup: phones and links are kept shut until the office has confirmed them
('headcut devices --confirm NAME|ROW|all', 'headcut links --confirm ROW|all'), and codes that were
not used are over. If the data folder that is replaced is still there, give it with --replaces,
also when it is damaged: phones revoked and links withdrawn in it stay so, and are listed, and so are phones, links
and intakes that it has and the backup has not. Until a restore is done, every other command refuses
DIR; if it was cut short, run it again.

With --salvage, FOLDER is a data folder or backup whose register is damaged, and there is no good
backup of it: every entry that can still be read is copied from it, and the command lists what
was lost and ends with 1 when anything was or may have been. FOLDER is not changed. Devices send again what they
still have. Since a revocation may be among what was lost, phones and links are kept shut as above.

With --photos, DIR is a data folder that is there already, served or not, and only photos
that are damaged or missing in it are restored from the backup.`,
	run: runRestore,
}

func runRestore(ctx context.Context, c *call) error {
	f := c.flags()
	from := f.String("from", "", "`FOLDER` folder of the backup")
	data := f.String("data", "", "`DIR` data folder to make, or with --photos to mend")
	photos := f.Bool("photos", false, "only restore photos that are damaged or missing")
	salvage := f.Bool("salvage", false, "copy from a damaged register what can still be read")
	replaces := f.String("replaces", "", "`OLD` data folder that is replaced: what was revoked or withdrawn in it stays so")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || *from == "" || len(c.args) > 0 || *photos && (*salvage || *replaces != "") {
		return c.misused("say --from FOLDER --data DIR, and at most one of --photos and --salvage; --replaces goes without --photos")
	}
	if err := copiedInPart("--from", *from); err != nil {
		return err
	}
	if _, err := os.Stat(filepath.Join(*from, registerFile)); errors.Is(err, os.ErrNotExist) {
		return &model.Problem{Path: "--from", Reason: "there is no register in " + *from, Fix: "give the folder that 'headcut backup --to' wrote"}
	}
	if *photos {
		return putPhotosBack(ctx, c, *from, *data)
	}
	if err := mayMake(*from, *data); err != nil {
		return err
	}
	rights := &restoredRights{replaces: *replaces}
	if err := rights.check(*from); err != nil {
		return err
	}
	backup, err := boltstore.BackupAt(filepath.Join(*from, registerFile))
	cut := err == nil && backup != nil && backup.Unfinished // what is wrong with a register is told below
	if cut {
		fmt.Fprintf(c.stdout, "Unfinished: %s.\n", cutShort)
	}
	if *salvage {
		err = salvageAll(ctx, c, *from, *data, rights)
	} else {
		err = restoreAll(ctx, c, *from, *data, rights)
	}
	if cut && err == nil {
		return unfinished()
	}
	return err
}

// mayMake refuses to make a data folder where there is one, or within or around a backup.
func mayMake(from, data string) error {
	if _, err := os.Stat(filepath.Join(data, registerFile)); err == nil {
		return &model.Problem{Path: "--data", Reason: data + " has a register already", Fix: "move it aside, give it with --replaces, so that what was revoked in it stays so, and keep it until the restored one is proven"}
	}
	for _, in := range []struct{ outer, inner, how string }{{from, data, "lies within the backup "}, {data, from, "contains the backup "}} {
		if inside, err := within(in.outer, in.inner); err != nil {
			return err
		} else if inside {
			return &model.Problem{Path: "--data", Reason: data + " " + in.how + from + ": one would be lost with the other", Fix: "give a folder elsewhere"}
		}
	}
	return nil
}

func restoreAll(ctx context.Context, c *call, from, data string, rights *restoredRights) error {
	copied, err := makeFolder(ctx, c, from, data, rights.make(boltstore.Restore))
	if errors.Is(err, store.ErrDamaged) {
		return &model.Problem{Path: "--from", Reason: "the backup in " + from + " is damaged, and nothing was restored: " + err.Error(),
			Fix: "restore from an earlier backup; if the data folder is still there, keep it, and back it up to a new folder. Without either, 'headcut restore --salvage' copies what can still be read"}
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(c.stdout, "Restored to %s. Devices will send again what it lacks.\n", data)
	rights.tell(c, "rights may have been taken away since the backup")
	found, err := audit(ctx, c, data)
	if err != nil {
		return err
	}
	// What the backup has no good copy of is named below.
	found.Photos.Unlisted = max(0, found.Photos.Unlisted-len(copied.faults.Damaged)-len(copied.faults.Missing))
	if err := tellAudit(c, sound, found, "restore again into another folder"); err != nil {
		return err
	}
	return photoProblem(copied.faults, "the backup has no good copy of them: look in an older one, and put them back with 'headcut restore --photos'")
}

// makeFolder makes a data folder of another, with a register that makes one file of the other's.
// When it cannot, it leaves nothing of what it made. Until all is in its place the folder is marked
// by [unconfirmedFolder]: whenever this ends, nothing begins a new register there ([copiedInPart]).
func makeFolder(ctx context.Context, c *call, from, data string, register func(ctx context.Context, from, to string) error) (copied copiedPhotos, err error) {
	undo, unlock, err := beginFolder(data)
	if err != nil {
		return copied, err
	}
	defer unlock()
	if err := mayMake(from, data); err != nil { // another restore may just have made it
		return copied, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, undo())
		}
	}()
	if err := beginUnconfirmed(data); err != nil {
		return copied, err
	}
	path := filepath.Join(data, registerFile)
	if err := boltstore.RemoveParts(path); err != nil {
		return copied, err
	}
	fresh, err := boltstore.OpenPhotos(filepath.Join(data, photoFolder))
	if err != nil {
		return copied, err
	}
	if err := fresh.RemoveAside(); err != nil { // of a restore that was cut short; the folder is locked
		return copied, err
	}
	if copied, err = copyPhotos(ctx, c, boltstore.PhotosReadOnly(filepath.Join(from, photoFolder)), fresh); err != nil {
		return copied, err
	}
	if err := markDataDir(data); err != nil {
		return copied, err
	}
	if err := register(ctx, filepath.Join(from, registerFile), path); err != nil {
		return copied, err
	}
	return copied, os.RemoveAll(filepath.Join(data, unconfirmedFolder))
}

// beginFolder makes a folder unless it is there, and locks it. undo, which is called while it is locked,
// empties or removes it as it was; what was in it before is never touched, nor what another restore
// that has it locked puts there. Where photos were in it before, those that were added stay with them,
// and so does the mark.
func beginFolder(dir string) (undo func() error, unlock func(), err error) {
	for tries := 0; ; tries++ {
		if err := os.MkdirAll(filepath.Dir(dir), 0o700); err != nil {
			return nil, nil, err
		}
		err := os.Mkdir(dir, 0o700)
		if err != nil && !errors.Is(err, fs.ErrExist) {
			return nil, nil, err
		}
		made := err == nil
		unlock, err := lockFolder(dir)
		if errors.Is(err, fs.ErrNotExist) && tries < 100 {
			continue // another restore that failed has removed it
		}
		if err != nil {
			return nil, nil, err
		}
		found, err := os.ReadDir(dir)
		if err != nil {
			unlock()
			return nil, nil, err
		}
		held := model.Each(found, fs.DirEntry.Name)
		return func() error {
			err := emptyFolder(filepath.Join(dir, unconfirmedFolder))
			for _, name := range []string{registerFile, photoFolder, markFile, unconfirmedFolder} { // the mark last
				if err != nil || slices.Contains(held, name) {
					return err
				}
				err = os.RemoveAll(filepath.Join(dir, name))
			}
			if made && err == nil {
				err = os.RemoveAll(dir)
			}
			return err
		}, unlock, nil
	}
}

func putPhotosBack(ctx context.Context, c *call, from, data string) error {
	if err := mustExist(data); err != nil {
		return err
	}
	found, err := audit(ctx, c, data)
	if err != nil {
		return err
	}
	// A server that runs on the folder may take photos meanwhile: each is put in place whole.
	photos, err := boltstore.OpenPhotos(filepath.Join(data, photoFolder))
	if err != nil {
		return err
	}
	kept := boltstore.PhotosReadOnly(filepath.Join(from, photoFolder))
	mended, left, err := repairPhotos(ctx, photos, kept, found.Photos)
	if err != nil {
		return err
	}
	if left.Unlisted > 0 { // which ones is not known: all that the backup has
		added, err := copyPhotos(ctx, c, kept, photos)
		if err != nil {
			return err
		}
		mended = append(mended, added.copied...)
		left.Unlisted = max(0, left.Unlisted-len(added.copied))
	}
	fmt.Fprintf(c.stdout, "%s restored.\n", many(len(mended), "photo", "photos"))
	return photoProblem(left, "this backup has no good copy of them: try another")
}
