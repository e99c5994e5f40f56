package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"path/filepath"
	"strings"
	"time"

	"headcut/model"
	"headcut/server"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

var verifyCommand = command{
	name: "verify", args: "--data DIR", summary: "recompute everything in a data folder and compare",
	help: `
Recomputes every hash, number and folded feature of a data folder, reads every photo, and
compares them with what is stored and with the list of the photos that came. DIR may be
served meanwhile, or be a backup, also on a medium that cannot be written. It changes nothing.
Of photos that the register names and that are not here it says which device may have them: open
Headcut on that phone where there is signal, and it sends them again.`,
	run: runVerify,
}

func runVerify(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data or backup folder")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || len(c.args) > 0 {
		return c.misused("say --data DIR and nothing else")
	}
	if err := mustExist(*data); err != nil {
		return err
	}
	found, err := audit(ctx, c, *data)
	if err != nil {
		return err
	}
	return tellAudit(c, sound, found, "if this is the data folder, 'headcut restore --photos --from BACKUP --data "+*data+"' restores what a backup has; if it is a backup, 'headcut backup --data DIR --to "+*data+"' mends it from its data folder")
}

// audit verifies a data folder: by the server that runs on it, or else here.
func audit(ctx context.Context, c *call, dir string) (boltstore.Audited, error) {
	bar := newProgress(c.stderr, "verifying")
	defer bar.done()
	told := func(what string, done uint64) { bar.at(int64(done), 0, what) }
	if client, err := running(dir); err != nil {
		return boltstore.Audited{}, err
	} else if client != nil {
		defer client.CloseIdleConnections()
		found, err := auditRunning(ctx, client, told)
		return found, inFolder(dir, err)
	}
	s, err := boltstore.Open(filepath.Join(dir, registerFile), boltstore.Options{Now: time.Now})
	if onlyReadable(err) {
		s, err = boltstore.Open(filepath.Join(dir, registerFile), boltstore.Options{Now: time.Now, ReadOnly: true})
	}
	if err != nil {
		return boltstore.Audited{}, inFolder(dir, err)
	}
	found, err := boltstore.Audit(ctx, s, boltstore.PhotosReadOnly(filepath.Join(dir, photoFolder)), told)
	return found, inFolder(dir, errors.Join(err, s.Close()))
}

// auditRunning has a running server verify what it serves, and passes on how far it is.
func auditRunning(ctx context.Context, client *http.Client, told func(string, uint64)) (found boltstore.Audited, err error) {
	steps, answer := io.Pipe()
	defer steps.Close()
	go func() {
		answer.CloseWithError(server.Ask(ctx, client, http.MethodGet, "/office/audit", nil, answer))
	}()
	for lines := json.NewDecoder(steps); ; {
		var step server.AuditStep
		switch err := lines.Decode(&step); {
		case err != nil:
			return found, fmt.Errorf("the server ended its check: %w", err)
		case step.Damaged:
			return found, fmt.Errorf("%w: %s", store.ErrDamaged, strings.TrimPrefix(step.Fault, store.ErrDamaged.Error()+": "))
		case step.Fault != "":
			return found, errors.New(step.Fault)
		case step.Found != nil:
			return found, json.Unmarshal(step.Found, &found)
		}
		told(step.What, step.Done)
	}
}

// sound is what tellAudit says of a register in which nothing is lost.
const sound = "Sound"

// tellAudit prints what is whole, after a head, and returns what is not as a problem with this fix.
func tellAudit(c *call, head string, found boltstore.Audited, fix string) error {
	// The office's own register, of names and rights, is no property: without it these are the
	// numbers of 'headcut properties' and of exports.
	own, properties := found.Of[server.OfficeRegister], found.Properties
	if own.Entries > 0 {
		properties--
	}
	counts := fmt.Sprintf("%s, %s and %s on %s; names and rights in %s", many(found.Entries-own.Entries, "entry", "entries"),
		many(found.Features-own.Features, "feature", "features"), many(uint64(found.Photos.Whole), "photo", "photos"),
		many(properties, "property that has any", "properties that have any"), many(own.Entries, "entry", "entries"))
	switch {
	case found.Unfinished:
		fmt.Fprintf(c.stdout, "Unfinished backup, so far: %s.\n", counts)
	case found.Photos.Sound():
		fmt.Fprintf(c.stdout, "%s: %s.\n", head, counts)
	default:
		fmt.Fprintf(c.stdout, "Whole: %s.\n", counts)
	}
	switch {
	case found.Awaited > 0 && (found.Unfinished || found.Photos.Unlisted > 0):
		fmt.Fprintf(c.stdout, "Photos that entries name and that are not here: %d; it is not known which of them had come.\n", found.Awaited)
	case found.Awaited > 0:
		fmt.Fprintf(c.stdout, "Photos that entries name and that have not come yet: %d.\n", found.Awaited)
	}
	for _, w := range found.With {
		fmt.Fprintf(c.stdout, "Not here, and the device of %s (%s) may have %s: %s.\n", w.Author, w.Device, many(len(w.Photos), "photo", "photos"), hashes(w.Photos))
	}
	problem := photoProblem(found.Photos, fix)
	if !found.Unfinished {
		return problem
	}
	if problem != nil {
		fmt.Fprintf(c.stdout, "%v\n", problem)
	}
	return unfinished()
}

const cutShort = "the backup was cut short and never finished: photos that had come may be missing in it"

// unfinished is the problem of a backup that was cut short.
func unfinished() error {
	return &model.Problem{Reason: cutShort, Fix: "run 'headcut backup' to the same folder again, which finishes it, or use an earlier backup"}
}

func many[N int | uint64](n N, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}

// photoProblem names the photos that are damaged or missing, nil when none is.
func photoProblem(r boltstore.PhotoReport, fix string) error {
	var parts []string
	for _, of := range []struct {
		what string
		sha  []register.Hash
	}{{"damaged", r.Damaged}, {"missing, having been received once", r.Missing}} {
		if len(of.sha) > 0 {
			parts = append(parts, many(len(of.sha), "photo is ", "photos are ")+of.what+": "+hashes(of.sha))
		}
	}
	if r.Unlisted > 0 {
		parts = append(parts, many(r.Unlisted, "photo", "photos")+" came once, and neither the photos nor the list of what came have them any more: the photo folder may have been removed or replaced")
	}
	if parts == nil {
		return nil
	}
	return &model.Problem{Reason: strings.Join(parts, "; "), Fix: fix}
}

// hashes lists a few of many.
func hashes(all []register.Hash) string {
	const most = 20
	texts := make([]string, min(len(all), most))
	for i := range texts {
		texts[i] = all[i].String()
	}
	list := strings.Join(texts, ", ")
	if more := len(all) - most; more > 0 {
		list += fmt.Sprintf(" and %d more", more)
	}
	return list
}
