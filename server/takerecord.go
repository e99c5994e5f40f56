package server

import (
	"cmp"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"slices"
	"strings"

	"headcut/model"
	"headcut/sync/intake"
	"headcut/sync/register"
)

// mostAbsent is how many features an answer names that an edited export has no more.
const mostAbsent = 5

// countAbsent counts what an edited export has no more. Nobody says whether a row was deleted
// or only not exported, so that nothing follows from it but a line.
func (t *taking) countAbsent(file intake.File) error {
	there := map[string]bool{}
	for _, r := range file.Records {
		if r.Ours != nil && (!r.Ours.Unversioned || t.unversioned[r.Ours.UID]) {
			there[r.Ours.UID] = true
		}
	}
	if len(there) == 0 {
		return nil
	}
	for _, r := range file.Records {
		there[r.Feature(t.property.ID)] = true
	}
	for f, err := range t.s.ofParts(t.s.parts(t.property.ID), func(part string) iter.Seq2[register.Folded, error] {
		return t.s.store.FeaturesBut(t.ctx, part, func(id string) bool { return there[id] })
	}) {
		if err != nil {
			return err
		}
		if f.Struck {
			continue
		}
		if t.taken.Absent++; len(t.taken.AbsentNames) < mostAbsent {
			t.taken.AbsentNames = append(t.taken.AbsentNames, cmp.Or(f.Model().Text("name"), f.Feature))
		}
	}
	return nil
}

// record takes in one record: as an edit of the feature that it was exported from, as a
// feature that is known, or as a new one.
func (t *taking) record(r intake.Record) error {
	if r.Ours != nil {
		part, entries, err := t.s.entriesOf(t.ctx, t.property, r.Ours.UID)
		if err != nil {
			return err
		}
		switch {
		case len(entries) > 0 && r.Ours.Unversioned:
			t.compare(r, entries)
			return nil
		case len(entries) > 0:
			return t.edit(part, r, entries)
		case r.Ours.WithoutPlace:
			t.taken.LeftOut++
			t.note(r, "uid", quote(r.Ours.UID)+" is of no feature of this property, and the row has no position: left out", "give it a latitude and a longitude")
			return nil
		case r.Ours.StruckOut():
			t.taken.LeftOut++
			t.note(r, "struckOut", quote(r.Ours.UID)+" is of no feature of this property, and was struck out where it was exported: left out", "restore it there and export again, or write no in struckOut")
			return nil
		case !r.Ours.Unversioned: // the uid of another program's column says nothing
			t.note(r, "uid", "is of no feature of this property: taken as a feature of its own", "")
		}
	}
	t.taken.Notes = append(t.taken.Notes, r.AsNew...)
	t.taken.LeftOut += r.AsNewLeftOut
	part, entries, err := t.s.entriesOf(t.ctx, t.property, r.Feature(t.property.ID))
	if err != nil {
		return err
	}
	made := r.Entries(t.property.ID, t.author)
	kind := model.TextOf(r.Fields["kind"])
	if len(entries) == 0 {
		if t.tooFar(r, r.Fields) {
			return nil
		}
		t.tellCrest(r, kind, "", r.Fields)
		t.taken.Notes = append(t.taken.Notes, r.Notes...)
		t.taken.NewFeatures++
		t.kinds[KindCount{Kind: kind, By: r.KindBy}]++
		return t.add(t.property.ID, made...)
	}
	state := register.Gather(r.Feature(t.property.ID), entries)
	folded := state.Folded()
	if !slices.ContainsFunc(entries, func(n register.Numbered) bool { return intake.Makes(n.Entry) }) {
		return t.under(part, r, entries, made)
	}
	t.taken.KnownFeatures++
	if folded.Struck {
		t.taken.StruckFeatures++
	}
	if rest := slices.DeleteFunc(slices.Clone(made), func(e register.Entry) bool { // by what no phone can write: an id, it can
		return slices.ContainsFunc(entries, func(n register.Numbered) bool {
			return n.Entry.Device == e.Device && n.Entry.DeviceSeq == e.DeviceSeq
		})
	}); len(rest) < len(made) { // the rest of it was cut off, if there is any
		t.taken.Known += len(made) - len(rest)
		return t.add(part, rest...)
	}
	t.taken.Known += len(made)
	if was, name := folded.Model().Kind, folded.Model().Text("name"); was == intake.Unsorted && kind != was { // nobody has sorted it yet, and now it is known
		e := intake.KindEntry(state, part, r.Feature(t.property.ID), kind, t.author, t.s.now())
		if slices.ContainsFunc(entries, func(n register.Numbered) bool { return n.Entry.Device == e.Device }) {
			t.tellUndone(r, name, e, entries)
			return nil
		}
		t.taken.KnownFeatures--
		t.edited(FeatureEdit{Feature: e.Feature, Kind: kind, Name: name, Changes: []intake.Change{{Field: "kind", Label: "Kind", From: asJSON(was), To: asJSON(kind)}}})
		t.kinds[KindCount{Kind: kind, By: r.KindBy}]++
		return t.add(part, e)
	}
	return nil
}

// under takes in what the file says of a feature of its own of which the register has only what others
// said: they had it from a register that was lost, or worked out its id. What was said by who had seen the
// file's words stays; what else differs is a clash.
func (t *taking) under(part string, r intake.Record, entries []register.Numbered, made []register.Entry) error {
	if t.tooFar(r, r.Fields) {
		return nil
	}
	feature := r.Feature(t.property.ID)
	for i := range made {
		made[i].Property = part
		if slices.ContainsFunc(entries, func(n register.Numbered) bool { return n.Entry.ID == made[i].ID }) {
			made[i].ID = newEntryID()
		}
	}
	before, after := register.Fold(feature, entries), register.Fold(feature, with(entries, made...))
	edit := FeatureEdit{Feature: feature, Kind: after.Model().Kind, Name: after.Model().Text("name")}
	called := cmp.Or(edit.Name, feature)
	t.tellCrest(r, edit.Kind, called, after.Fields)
	t.taken.Notes = append(t.taken.Notes, r.Notes...)
	t.note(r, "", called+": the register had entries of it, but not what this file says: that is added now", "see on its own page that it is right")
	if after.Struck {
		t.taken.StruckFeatures++
	}
	for _, name := range slices.Sorted(maps.Keys(r.Fields)) {
		if string(before.Fields[name]) == string(after.Fields[name]) {
			continue
		}
		edit.Changes = append(edit.Changes, intake.Change{Field: name, Label: labelOf(edit.Kind, name), From: orNull(before.Fields[name]), To: orNull(after.Fields[name])})
	}
	for _, clash := range after.Clashes {
		edit.Clashes = append(edit.Clashes, clash.Field)
	}
	t.edited(edit)
	return t.add(part, made...)
}

func orNull(raw json.RawMessage) json.RawMessage {
	return json.RawMessage(cmp.Or(string(raw), "null"))
}

// compare counts a feature without a version, which is of an older version's export or has
// lost it: it is known while it says the same as the register. Otherwise it cannot be known which
// is newer.
func (t *taking) compare(r intake.Record, entries []register.Numbered) {
	uid := r.Ours.UID
	if t.unversioned[uid] {
		t.taken.LeftOut++
		t.note(r, "uid", "the feature "+quote(uid)+" is in the file twice: the first is kept", "empty the uid of a copy to take it in as a new feature")
		return
	}
	t.unversioned[uid] = true
	t.taken.KnownFeatures++
	state := register.Gather(uid, entries).Folded()
	if state.Struck {
		t.taken.StruckFeatures++
	}
	changes := r.Differs(entries)
	if len(changes) == 0 {
		return
	}
	labels := model.Each(changes, func(change intake.Change) string { return change.Label })
	t.taken.LeftOut++
	t.note(r, "version", fmt.Sprintf("is missing, and %s differs from the register in %s: which is newer cannot be known, so the file's values are left out",
		cmp.Or(state.Model().Text("name"), uid), strings.Join(labels, ", ")), "export again, and edit the new file")
}

// edit takes in what the file says otherwise than the export that it was made from.
func (t *taking) edit(part string, r intake.Record, entries []register.Numbered) error {
	edit, found, problems := r.EditOf(entries)
	t.taken.LeftOut += len(problems)
	t.taken.Notes = append(t.taken.Notes, problems...)
	if place := edit.Place(); place != nil && t.tooFar(r, map[string]json.RawMessage{"geometry": place, "name": asJSON(edit.Name)}) {
		edit.KeepPlace()
	}
	t.tellCrest(r, edit.Kind, edit.Name, edit.Values())
	switch {
	case !found:
		t.taken.LeftOut++
		t.note(r, "version", "is none that this register knows for the feature "+quote(r.Ours.UID)+": it is left out", "export again, and edit the new file")
		return nil
	case len(edit.Changes) == 0:
		t.taken.KnownFeatures++
		return nil
	}
	e := edit.Entry(part, t.author, t.s.now())
	if slices.ContainsFunc(entries, func(n register.Numbered) bool { return n.Entry.Device == e.Device }) {
		t.taken.KnownFeatures++
		t.taken.Known++
		t.tellUndone(r, edit.Name, e, entries)
		return nil
	}
	t.taken.Notes = append(t.taken.Notes, edit.Notes...)
	t.edited(FeatureEdit{Feature: edit.Feature, Kind: edit.Kind, Name: edit.Name, Changes: edit.Changes, Clashes: clashesWith(e, entries)})
	return t.add(part, e)
}

func (t *taking) edited(edit FeatureEdit) {
	if t.taken.Edited++; len(t.taken.Edits) < MostEdits {
		t.taken.Edits = append(t.taken.Edits, edit)
	}
}

// tellUndone says that an edit was taken in before and undone since, and stays so: whoever undid
// it meant to, and taking a file in again changes nothing.
func (t *taking) tellUndone(r intake.Record, name string, e register.Entry, entries []register.Numbered) {
	taken := false
	for _, n := range entries {
		taken = taken || n.Entry.Device == e.Device
		if taken && strings.HasPrefix(n.Entry.Device, undoPrefix) && slices.ContainsFunc(e.Set, func(f model.FieldValue) bool { return n.Entry.Set.Has(f.Name) }) {
			t.taken.LeftOut++
			t.note(r, "", fmt.Sprintf("%s: what the file says otherwise was taken in before and undone since (%s): left out", cmp.Or(name, e.Feature), n.Entry.Author), "export again, and edit the new file")
			return
		}
	}
}

// clashesWith lists the fields that would clash with what is in the register already.
func clashesWith(e register.Entry, entries []register.Numbered) []string {
	after := register.Fold(e.Feature, with(entries, e))
	var fields []string
	for _, clash := range after.Clashes {
		if e.Set.Has(clash.Field) || clash.Field == "strike" {
			fields = append(fields, clash.Field)
		}
	}
	return fields
}

// with are the entries of a feature with more after them.
func with(entries []register.Numbered, more ...register.Entry) []register.Numbered {
	all := slices.Clone(entries)
	for _, e := range more {
		all = append(all, register.Numbered{N: all[len(all)-1].N + 1, Capped: e.Stamp, Entry: e})
	}
	return all
}

func (t *taking) note(r intake.Record, path, reason, fix string) {
	t.taken.Notes = append(t.taken.Notes, &model.Problem{Line: r.Line, Path: path, Reason: reason, Fix: fix})
}
