package main

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync/atomic"

	"headcut/model"
	"headcut/server"
	"headcut/sync/intake"
)

var intakeCommand = command{
	name: "intake", args: "--data DIR [--property NAME] [--dry-run] [--far] [--new] [--kind KIND] [--author NAME] FILE…\n--data DIR --list\n--data DIR --undo NUMBER\n--data DIR --property NAME --restore UID", summary: "take in GPX, GeoJSON, CSV, or what a phone saved to a file",
	help: `
Reads files of other devices into a property's register. It goes by what is in a file, not
by its name:

  GPX 1.1       waypoints, routes, tracks
  GeoJSON       from any app, in WGS84; also what 'headcut export' wrote
  level book    CSV with the columns ` + intake.LevelBookColumns + `;
                station, backsight and foresight must be there; a change point has both a
                foresight and a backsight; spot is bed, toe, crest, peg, mark or section;
                feature is the uid of what was levelled; inverted and struck are yes or
                empty. The rows of a cross-section have the spot section, and how far from
                the thalweg as offset_m: left of it with a minus or an L, looking
                downstream. Their feature is the cross-section, or the thalweg, with the
                section's chainage
  points        CSV with the columns latitude and longitude, in decimal degrees or in
                degrees, minutes and seconds, or with lines and areas too in a column WKT;
                name, kind, notes, date, accuracy and any field of the kind are read as well.
                A table of an export needs no positions: its uid and version say which feature
  .tar          what a phone saved because there was no signal: it names its properties
                itself, and needs no --property. What the phone sealed is taken in as if it had
                sent it. The rest (files of older versions, what was changed on the way,
                another phone's entries, those of a phone that may not send any more) is taken in as handed in by --author, under no phone's number: no
                phone is kept out by it, and --undo undoes it

KML, GeoPackage and shapefiles are not read: save them as GeoJSON. An export that was carried
through them, or through GPX with its extensions, is still known as one.

A point more than 100 km from everything else on the property, or moved there, is left out: a
minus may be missing. If it is right, say --far. So are dates before 1900 and in the future.

An export that was edited in a desktop GIS comes back as edits: each feature is known by its
uid, and its version says what the editor had before them. Keep both columns. What somebody
else changed meanwhile is a clash to settle, never overwritten. Columns that headcut
calculates are not read. A feature that is not in the file stays as it is. Without a version,
as in exports of older versions of headcut, a known feature is never taken in as a new one: it
is compared with the register, and where it differs it is left out and named, because nobody
can tell which is newer. See what an intake would do with --dry-run first.

The kind of a feature is found in a column or element kind, type or sym, however it is
written, then in a name such as "check dam 5" or "BM 2"; --kind is for the rest. Without it
they are unsorted.

A column or element sensitive that says neither yes nor no, such as "x", marks its feature sensitive
and is listed; an emptied one shows nothing that was hidden. Write no to show it.
Other names that have sensitive in them, such as "is_sensitive", are read as that, also in attributes and
at the points of a line. Where no column says yes or no, a text with that word in it, such as notes or the
title of the file, marks too, and is listed.

Taking the same file in again changes nothing. What had to be changed or left out is listed
with its line, and when anything was left out the command ends with 1; a file that cannot be
trusted is refused whole. One that was cut off, by a full disk or a power cut, stands in --list
with what came in: take the same file in again and it continues. --undo undoes a whole intake: what it made is struck out, what it
edited gets its former values. What somebody edited since stays and is named, a value together with its
basis and a place with its accuracy; so does what was in clash before and is settled now. --list says
so. What another undone intake said is nobody's edit, and --undo again strikes out what --restore
restored since. What a killed intake of an older version left, of which nothing was written down, stands in
--list as "(file not recorded)", and --undo undoes it too. What a phone
sealed cannot be undone in this way. A file strikes nothing out and restores nothing; --restore
restores one feature by its uid.`,
	run: runIntake,
}

func runIntake(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	property := f.String("property", "", "`NAME` the property; made if it is not there; not needed for what a phone saved")
	kind := f.String("kind", "", "`KIND` for features whose kind is not in the file")
	author := f.String("author", "", "`NAME` who recorded what is in the file; of what a phone saved, who hands it in")
	dryRun := f.Bool("dry-run", false, "show what would be taken in, and change nothing")
	far := f.Bool("far", false, "take in what is more than 100 km from everything else on the property, too")
	makeNew := f.Bool("new", false, "make the property though another has a name like it")
	undo := f.Int("undo", 0, "`NUMBER` the intake to undo")
	list := f.Bool("list", false, "list the intakes and their numbers")
	restore := f.String("restore", "", "`UID` the struck-out feature to restore")
	if err := c.parse(f); err != nil {
		return err
	}
	other := 0
	for _, chosen := range []bool{*undo != 0, *list, *restore != ""} {
		if chosen {
			other++
		}
	}
	if *data == "" || other > 1 || (len(c.args) == 0) != (other == 1) {
		return c.misused("say --data DIR, --property NAME unless a phone saved the files, and at least one FILE; or one of --list, --undo NUMBER, --restore UID")
	}
	if *restore != "" && *property == "" {
		return c.misused("--restore needs --property NAME: the property that the feature is on")
	}
	switch {
	case *list:
		return listIntakes(ctx, c, *data)
	case *undo != 0:
		return undoIntake(ctx, c, *data, *undo, *author)
	case *restore != "":
		return restoreFeature(ctx, c, *data, *property, *restore, *author)
	}
	query := url.Values{"property": {*property}, "kind": {*kind}, "author": {*author}}
	for name, given := range map[string]bool{"dryRun": *dryRun, "new": *makeNew, "far": *far} {
		if given {
			query.Set(name, "yes")
		}
	}
	client, done, err := office(ctx, *data)
	if err != nil {
		return err
	}
	defer done()
	refused, partly := 0, 0
	bar := newProgress(c.stderr, "taking in")
	for i, path := range c.args {
		bar.at(int64(i), int64(len(c.args)), "files")
		taken, err := takeFile(ctx, client, query, path)
		bar.done()
		if errors.Is(err, server.NoAnswer) || ctx.Err() != nil {
			return &model.Problem{File: path, Reason: "the server on this data folder ended, or this command was, before it said what came in",
				Fix: "take the same file in again: it continues, and nothing comes in twice. 'headcut intake --list' tells what is in, and --undo removes it"}
		}
		if err != nil {
			refused++
			fmt.Fprintf(c.stderr, "%s: refused whole: %s\n", path, problemText(err))
			continue
		}
		if taken.CutOff != nil {
			return &model.Problem{File: path, Reason: taken.CutOff.Reason, Fix: taken.CutOff.Fix}
		}
		printTaken(c, *data, path, taken)
		if len(taken.Refused) > 0 || taken.LeftOut > 0 {
			partly++
		}
	}
	return notWhole(len(c.args), refused, partly)
}

// notWhole is the problem of files that were refused or taken in partly, nil when none was.
func notWhole(files, refused, partly int) error {
	if refused+partly == 0 {
		return nil
	}
	var parts []string
	for _, of := range []struct {
		n    int
		what string
	}{{refused, "refused"}, {partly, "taken in without what is listed above"}} {
		switch {
		case of.n == 1 && files == 1:
			parts = append(parts, "the file was "+of.what)
		case of.n == 1:
			parts = append(parts, fmt.Sprintf("1 of %d files was %s", files, of.what))
		case of.n > 1:
			parts = append(parts, fmt.Sprintf("%d of %d files were %s", of.n, files, of.what))
		}
	}
	return &model.Problem{Reason: strings.Join(parts, "; "), Fix: "correct what is listed above and run it again: what is in already stays as it is"}
}

func takeFile(ctx context.Context, client *http.Client, query url.Values, path string) (server.Taken, error) {
	var taken server.Taken
	if err := plainFile(path); err != nil {
		return taken, err
	}
	file, err := os.Open(path)
	if err != nil {
		return taken, fileFault(err)
	}
	defer file.Close()
	query.Set("file", filepath.Base(path))
	reading := &fileReader{file: file}
	err = server.Ask(ctx, client, http.MethodPost, "/office/intake?"+query.Encode(), reading, &taken)
	if reading.failed.Load() {
		return taken, &model.Problem{Reason: "could not be read to its end: its disk, or the system, gave an error", Fix: "copy it to another disk and take in the copy; 'headcut intake --list' tells whether a part of it is in"}
	}
	return taken, err
}

// fileReader reads a file and keeps whether that failed: to the request it is sent by, it looks as if the
// line were cut.
type fileReader struct {
	file   *os.File
	failed atomic.Bool
}

// Read implements [io.Reader].
func (r *fileReader) Read(b []byte) (int, error) {
	n, err := r.file.Read(b)
	if err != nil && err != io.EOF {
		r.failed.Store(true)
	}
	return n, err
}

// fileFault says what is wrong with a file that cannot be opened.
func fileFault(err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &model.Problem{Reason: "there is no such file", Fix: "check its name and its folder"}
	case errors.Is(err, fs.ErrPermission):
		return &model.Problem{Reason: "may not be read by the user who runs this command", Fix: "change who may read it, or copy it as a user who may"}
	}
	return errors.Unwrap(err)
}

// plainFile refuses what may never end, such as a pipe: opening one waits for its writer.
func plainFile(path string) error {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return fileFault(err)
	case info.IsDir():
		return &model.Problem{Reason: "is a folder", Fix: "name the files in it"}
	case !info.Mode().IsRegular():
		return &model.Problem{Reason: "is a pipe or device, not a file", Fix: "save what it gives to a file first, and name that"}
	}
	return nil
}

func printTaken(c *call, data, path string, taken server.Taken) {
	if taken.Made && !taken.DryRun {
		fmt.Fprintf(c.stdout, "New property: %s\n", taken.Property.Name)
	}
	would := ""
	if taken.DryRun {
		would = "; dry run: nothing was changed"
	}
	if taken.Device != "" {
		on := ""
		if len(taken.On) > 0 {
			on = ", on " + strings.Join(taken.On, ", ")
		}
		fmt.Fprintf(c.stdout, "%s: %s, %d known already%s\n", path, many(taken.New, "new entry", "new entries"), taken.Known, on)
		fmt.Fprintf(c.stdout, "  handed over by %s; photos: %d new, %d known already\n", taken.From, taken.PhotosNew, taken.PhotosKnown)
		if taken.HandedIn > 0 {
			not := "1 of the new entries is not the word of the phone that it names: its"
			if taken.HandedIn > 1 {
				not = fmt.Sprintf("%d of the new entries are not the word of the phone that they name: their", taken.HandedIn)
			}
			fmt.Fprintf(c.stdout, "  %s author is \"..., handed in by %s\"\n", not, taken.By)
		}
	} else {
		fmt.Fprintf(c.stdout, "%s: %d new, %d known already, %d edited, of %s (%s)%s\n", path, taken.NewFeatures, taken.KnownFeatures, taken.Edited, many(taken.Features, "feature", "features"), taken.Format, would)
	}
	for _, k := range taken.Kinds {
		fmt.Fprintf(c.stdout, "  %d as %s\n", k.N, kindBy(k))
	}
	for _, edit := range taken.Edits {
		printEdit(c, edit)
	}
	if more := taken.Edited - len(taken.Edits); more > 0 {
		fmt.Fprintf(c.stdout, "  and %s\n", many(more, "more edit", "more edits"))
	}
	if taken.StruckFeatures > 0 {
		fmt.Fprintf(c.stdout, "  %s; restore with --restore UID, or on the field page\n", many(taken.StruckFeatures, "known feature was struck out, and stays so", "known features were struck out, and stay so"))
	}
	if taken.Absent > 0 {
		names := strings.Join(taken.AbsentNames, ", ")
		if taken.Absent > len(taken.AbsentNames) {
			names += ", ..."
		}
		fmt.Fprintf(c.stdout, "  %s: %s\n", many(taken.Absent, "feature is not in the file, and stays", "features are not in the file, and stay"), names)
	}
	for _, note := range taken.Notes {
		fmt.Fprintf(c.stdout, "  %s\n", note.Error())
	}
	if taken.LeftOut > 0 {
		fmt.Fprintf(c.stderr, "  %s left out\n", many(taken.LeftOut, "part of the file was", "parts of the file were"))
	}
	for _, refused := range taken.Refused {
		fmt.Fprintf(c.stderr, "  not taken: %s\n", refused.Error())
	}
	if taken.Resumed {
		fmt.Fprintf(c.stdout, "  It was cut off before; all of it is in now\n")
	}
	if taken.Intake > 0 {
		fmt.Fprintf(c.stdout, "  To undo it: headcut intake --data %s --undo %d\n", data, taken.Intake)
	}
}

func kindBy(k server.KindCount) string {
	switch k.By {
	case intake.ByNone:
		return k.Kind
	case intake.ByName:
		return k.Kind + ", by their names"
	case intake.ByFormat:
		return k.Kind
	}
	return k.Kind + ", by " + string(k.By)
}

// printEdit shows what an edit changes, a field a line.
func printEdit(c *call, edit server.FeatureEdit) {
	fmt.Fprintf(c.stdout, "  %s:\n", featureName(edit.Kind, edit.Name, edit.Feature))
	for _, change := range edit.Changes {
		if change.Words != "" {
			fmt.Fprintf(c.stdout, "    %s: %s\n", change.Label, change.Words)
			continue
		}
		from, to := shortly(change.From, change.To)
		fmt.Fprintf(c.stdout, "    %s: %s -> %s\n", change.Label, from, to)
	}
	if len(edit.Clashes) > 0 {
		fmt.Fprintf(c.stdout, "    somebody else changed %s meanwhile: a clash to settle on the field page\n", strings.Join(edit.Clashes, ", "))
	}
}

// shortly are two values on a line of a terminal: of long ones, what is about the first place
// where they differ.
func shortly(from, to json.RawMessage) (string, string) {
	const before, most = 30, 80
	start := 0
	for start < min(len(from), len(to)) && from[start] == to[start] {
		start++
	}
	if start -= before; start < 0 || len(from) <= most && len(to) <= most {
		start = 0
	}
	short := func(raw json.RawMessage) string {
		text := string(raw)
		if text == "null" || text == "" {
			return "nothing"
		}
		if len(text) > most {
			if text = text[min(start, len(text)):]; start > 0 {
				text = "..." + strings.ToValidUTF8(text, "")
			}
			if len(text) > most {
				text = strings.ToValidUTF8(text[:most], "") + "..."
			}
		}
		return text
	}
	return short(from), short(to)
}

func restoreFeature(ctx context.Context, c *call, data string, property, uid, author string) error {
	var restored server.RestoredFeature
	query := url.Values{"property": {property}, "feature": {uid}, "author": {author}}
	if err := ask(ctx, data, http.MethodPost, "/office/restore?"+query.Encode(), nil, &restored); err != nil {
		return err
	}
	did := "restored"
	if restored.Already {
		did = "was not struck out: nothing was changed"
	}
	fmt.Fprintf(c.stdout, "%s %s\n", featureName(restored.Kind, restored.Name, restored.Feature), did)
	return nil
}

// featureName is how a line speaks of a feature: "Check dam Fig tree dam".
func featureName(kind, name, uid string) string {
	label := cmp.Or(kind, "feature")
	if known, ok := model.KindNamed(kind); ok {
		label = known.Label
	}
	return label + " " + cmp.Or(name, uid)
}

func listIntakes(ctx context.Context, c *call, data string) error {
	all, err := list[server.Intake](ctx, c, data, "/office/intakes", "No file has been taken in.")
	for _, i := range all {
		fmt.Fprintln(c.stdout, intakeWords(i))
	}
	return err
}

// intakeWords is an intake as the list has it.
func intakeWords(i server.Intake) string {
	undone := ""
	switch {
	case i.Kept > 0:
		undone = fmt.Sprintf(", undone but for %d that stay as they are", i.Kept)
	case i.Undone:
		undone = ", undone"
	case i.Underway:
		undone = ": on its way in"
	case i.CutOff:
		undone = ": cut off; take the same file in again to go on, or undo it"
	}
	return fmt.Sprintf("%d  %s  %s, %s: %d new, %d edited%s", i.Number, i.At.Format("2 January 2006, 15:04 UTC"), i.Property.Name, i.File, i.New, i.Edited, undone)
}

func undoIntake(ctx context.Context, c *call, data string, number int, author string) error {
	var undone server.Undone
	query := url.Values{"number": {strconv.Itoa(number)}, "author": {author}}
	if err := ask(ctx, data, http.MethodPost, "/office/intake/undo?"+query.Encode(), nil, &undone); err != nil {
		return err
	}
	fmt.Fprintf(c.stdout, "Intake %d (%s): %s struck out, %s undone, %d undone before\n", number, undone.Intake.File, many(undone.Struck, "feature", "features"), many(undone.Restored, "edit", "edits"), undone.Unchanged)
	for _, kept := range undone.Kept {
		fmt.Fprintf(c.stderr, "  %s\n", kept.Error())
	}
	if len(undone.Kept) > 0 {
		return &model.Problem{Reason: fmt.Sprintf("%d could not be undone: see above why", len(undone.Kept))}
	}
	return nil
}
