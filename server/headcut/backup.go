package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"

	"headcut/sync/register"
	"headcut/sync/store/boltstore"
)

var backupCommand = command{
	name: "backup", args: "--data DIR --to FOLDER", summary: "copy a data folder while it is served",
	help: `
Writes a consistent copy of the register to FOLDER and adds the photos that are not there
yet, then verifies the copy. The server may go on serving. FOLDER is new, empty or has an
earlier backup of the same data folder: its register is replaced only when the new one has been
verified and has every entry of the earlier one, and photos in it that have been damaged are
copied again. A data folder is never written over. A backup that was cut short
says so in verify and restore, and the next one to that folder finishes it.
The register in FOLDER is marked as a backup:
it can be verified, exported and restored from, and is neither served nor written to otherwise. What is damaged or missing in DIR is reported.

The files can be read by their owner alone, in any folder.`,
	run: runBackup,
}

func runBackup(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	to := f.String("to", "", "`FOLDER` folder of the backup")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || *to == "" || len(c.args) > 0 {
		return c.misused("say --data DIR --to FOLDER")
	}
	if err := mustExist(*data); err != nil {
		return err
	}
	target, err := openTarget(*data, *to)
	if err != nil {
		return err
	}
	defer target.close()
	if err := snapshot(ctx, c, *data, target); err != nil {
		return err
	}
	from := boltstore.PhotosReadOnly(filepath.Join(*data, photoFolder))
	kept, err := boltstore.OpenPhotos(filepath.Join(*to, photoFolder))
	if err != nil {
		return err
	}
	if err := kept.RemoveAside(); err != nil { // nobody else writes there: the target is locked
		return err
	}
	added, err := copyPhotos(ctx, c, from, kept)
	if err != nil {
		return err
	}
	found, err := audit(ctx, c, *to)
	if err != nil {
		return err
	}
	// A bad copy heals from a good one; what the data folder lacks, the backup may still have.
	healed, left, err := repairPhotos(ctx, kept, from, found.Photos)
	if err != nil {
		return err
	}
	found.Photos = left
	found.Photos.Whole += len(healed)
	if err := boltstore.FinishBackup(target.register, kept); err != nil {
		return err
	}
	found.Unfinished = false
	fmt.Fprintf(c.stdout, "Backup in %s, %s added, %d mended.\n", *to, many(len(added.copied), "photo", "photos"), len(healed))
	if err := tellAudit(c, sound, found, "the data folder has no good copy of them either"); err != nil {
		return err
	}
	here, err := auditPhotos(ctx, c, from)
	if err != nil {
		return err
	}
	return photoProblem(here, "that is the data folder; the backup keeps what it has of them: 'headcut restore --photos --from "+*to+" --data "+*data+"' restores what it has")
}

// snapshot puts a verified copy of the register in place of the backup's.
func snapshot(ctx context.Context, c *call, data string, to *target) error {
	bar := newProgress(c.stderr, "copying the register")
	defer bar.done()
	half, err := neighbour(to.register)
	if err != nil {
		return err
	}
	err = takePlace(half, to.register, func(w io.Writer) error {
		return ask(ctx, data, http.MethodGet, "/office/snapshot", nil, &counted{Writer: w, p: bar})
	}, func(path string) error { return to.mayBecome(ctx, path) })
	if err != nil {
		return err
	}
	if to.aside != "" {
		fmt.Fprintf(c.stdout, "The register that was in %s is damaged; it is kept as %s.\n", to.dir, to.aside)
	}
	return to.release()
}

// copiedPhotos is what became of copying photos.
type copiedPhotos struct {
	copied []register.Hash
	faults boltstore.PhotoReport // of the folder copied from
}

// copyPhotos copies the photos that to lacks, each read and compared with its hash.
func copyPhotos(ctx context.Context, c *call, from, to *boltstore.Photos) (done copiedPhotos, err error) {
	bar := newProgress(c.stderr, "photos")
	defer bar.done()
	seen := int64(0)
	err = from.Each(func(sha register.Hash) error {
		seen++
		bar.at(seen, 0, "looked at")
		if to.Has(sha) {
			return ctx.Err()
		}
		switch err := repairPhoto(ctx, to, from, sha); {
		case errors.Is(err, errNoGoodCopy):
			done.faults.Damaged = append(done.faults.Damaged, sha)
		case err != nil:
			return err
		default:
			done.copied = append(done.copied, sha)
		}
		return nil
	})
	if err != nil {
		return done, err
	}
	unnamed, missing, err := from.Unnamed(ctx)
	if err != nil {
		return done, err
	}
	done.faults.Missing = missing
	for sha, path := range unnamed {
		if to.Has(sha) {
			continue
		}
		switch err := copyUnnamed(ctx, to, from, sha, path); {
		case errors.Is(err, boltstore.ErrBadCopy), errors.Is(err, os.ErrNotExist): // it got its name just now
		case err != nil:
			return done, err
		default:
			done.copied = append(done.copied, sha)
		}
	}
	return done, to.SentAlso(ctx, from) // of photos that were there before
}

// copyUnnamed copies a photo that came whole and that stands among the parts yet.
func copyUnnamed(ctx context.Context, to, from *boltstore.Photos, sha register.Hash, path string) error {
	good, err := os.Open(path)
	if err != nil {
		return err
	}
	defer good.Close()
	devices, _, err := from.Sent(ctx, sha)
	if err != nil {
		return err
	}
	return to.Repair(ctx, sha, devices, good)
}

// auditPhotos reads every photo of the data folder: a backup that has a good copy of one
// says nothing of how the one here is.
func auditPhotos(ctx context.Context, c *call, from *boltstore.Photos) (boltstore.PhotoReport, error) {
	bar := newProgress(c.stderr, "reading the data folder's photos")
	defer bar.done()
	return from.Verify(ctx, func(done int) { bar.at(int64(done), 0, "read") })
}

// errNoGoodCopy: the folder copied from has not got the photo either, or a damaged one.
var errNoGoodCopy = errors.New("no good copy of the photo")

// repairPhotos puts good copies in place of photos that a check found damaged or
// missing. It returns those it repaired and what is left.
func repairPhotos(ctx context.Context, damaged, from *boltstore.Photos, found boltstore.PhotoReport) (repaired []register.Hash, left boltstore.PhotoReport, err error) {
	left.Whole, left.Unlisted = found.Whole, found.Unlisted
	for _, of := range []struct{ found, left *[]register.Hash }{{&found.Damaged, &left.Damaged}, {&found.Missing, &left.Missing}} {
		for _, sha := range *of.found {
			switch err := repairPhoto(ctx, damaged, from, sha); {
			case errors.Is(err, errNoGoodCopy):
				*of.left = append(*of.left, sha)
			case err != nil:
				return repaired, left, err
			default:
				repaired = append(repaired, sha)
			}
		}
	}
	return repaired, left, nil
}

func repairPhoto(ctx context.Context, damaged, from *boltstore.Photos, sha register.Hash) error {
	good, err := from.Open(ctx, sha)
	if errors.Is(err, os.ErrNotExist) {
		return errNoGoodCopy
	}
	if err != nil {
		return err
	}
	defer good.Close()
	devices, _, err := from.Sent(ctx, sha)
	if err != nil {
		return err
	}
	err = damaged.Repair(ctx, sha, devices, good)
	if errors.Is(err, boltstore.ErrBadCopy) {
		return errNoGoodCopy
	}
	return err
}
