package server

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"headcut/model"
	"headcut/sync/handover"
	"headcut/sync/intake"
	"headcut/sync/register"
)

// Entries of a hand-over file that the phone did not seal, or may not send any more, go in as copies
// made by whoever hands the file in: with a device id and an id of their own, under no number of the
// phone's, by the author "R. Field, handed in by A. Clerk". What is in the register already is known,
// so that a file can be taken in again. When the phone then sends
// what it wrote, its own entries know their copies (register.CopyDevice): nothing clashes.

// handingIn is the part of a file that somebody hands in.
type handingIn struct {
	s       *Server
	ctx     context.Context
	by      string
	nonce   string
	used    map[string]bool // numbers of copies in this file
	faults  map[sealFault]int
	devices []string // that entries name, of those whose numbers are taken
	run     *intakeRun
	in      []Property // where they went

	made, edited map[string]bool // features
}

const officeHand = "the office"

func (s *Server) handingIn(ctx context.Context, by string) (*handingIn, error) {
	by = cmp.Or(strings.Join(strings.Fields(strings.ToValidUTF8(by, "")), " "), officeHand)
	if n := utf8.RuneCountInString(by); n > register.AuthorRunes/2 {
		return nil, &model.Problem{Path: "--author", Reason: fmt.Sprintf("has %d letters and may have %d", n, register.AuthorRunes/2)}
	}
	return &handingIn{s: s, ctx: ctx, by: by, nonce: newToken()[:8], used: map[string]bool{}, faults: map[sealFault]int{},
		made: map[string]bool{}, edited: map[string]bool{}}, nil
}

// take takes in what of a property is not as its device sent it.
func (h *handingIn) take(property string, entries []sealedEntry, taken *Taken) error {
	if len(entries) == 0 {
		return nil
	}
	h.s.intaking.Lock() // so that the numbers of one intake's entries hold no other's
	defer h.s.intaking.Unlock()
	var err error
	here := map[string][]register.Numbered{} // by feature, with the copies that are to be appended
	var raws []json.RawMessage
	for i := range entries {
		e := &entries[i]
		if _, looked := here[e.Feature]; !looked {
			if here[e.Feature], err = h.s.store.EntriesOf(h.ctx, property, e.Feature); err != nil {
				return err
			}
		}
		about := here[e.Feature]
		id := copyID(e)
		if slices.ContainsFunc(about, func(n register.Numbered) bool { return n.Entry.ID == id || says(n, e) }) {
			taken.Known++
			continue
		}
		if e.Version > register.Version {
			taken.Refused = append(taken.Refused, &model.Problem{Path: string(e.ID), Reason: "is of a newer version, and cannot go in as the word of the phone that it names", Fix: "use a newer headcut and take the file in again"})
			continue
		}
		raw, made, err := h.copied(property, e, id, about)
		if err != nil { // it is too long with who hands it in
			taken.Refused = append(taken.Refused, &model.Problem{Path: string(e.ID), Reason: "cannot be handed in: " + err.Error(), Fix: "it is still on the phone: send it from there"})
			continue
		}
		raws = append(raws, raw)
		if len(about) == 0 {
			h.made[e.Feature] = true
		} else if !h.made[e.Feature] {
			h.edited[e.Feature] = true
		}
		here[e.Feature] = append(about, register.Numbered{Entry: made, Hash: register.HashOf(raw)})
		if h.faults[e.why]++; e.why == numberTaken && !slices.Contains(h.devices, e.Device) {
			h.devices = append(h.devices, e.Device)
		}
	}
	if len(raws) == 0 {
		return nil
	}
	if p := h.s.propertyOf(property); !slices.Contains(h.in, p) {
		h.in = append(h.in, p)
	}
	h.run.property.Name = h.names()
	if err := h.run.open(h.ctx, []string{property}); err != nil {
		return err
	}
	isNew := taken.New
	err = h.s.appendTaken(h.ctx, property, raws, taken)
	taken.HandedIn += taken.New - isNew
	return errors.Join(err, h.run.close(h.ctx, func(i *intakeRecord) {
		i.Name, i.New, i.Edited = h.names(), len(h.made), len(h.edited)
	}))
}

// names are those of the properties that copies went into.
func (h *handingIn) names() string {
	return strings.Join(model.Each(h.in, func(p Property) string { return p.Name }), ", ")
}

// begin says which file it is, before anything of it is taken. One that was cut off goes on.
func (h *handingIn) begin(file string, about handover.About) error {
	h.s.intaking.Lock()
	defer h.s.intaking.Unlock()
	sum := sha256.Sum256(asJSON(about))
	h.run = &intakeRun{s: h.s, file: file, digest: "phone " + hex.EncodeToString(sum[:]), author: h.by}
	return h.run.resume(h.ctx)
}

// end says that nothing more of the file comes.
func (h *handingIn) end() {
	h.s.intaking.Lock()
	defer h.s.intaking.Unlock()
	h.run.end()
}

// says reports whether an entry of the register is this very one, or what the phone made of it
// when it was enrolled again under another device id.
func says(n register.Numbered, e *sealedEntry) bool {
	if n.Entry.ID != e.ID {
		return false
	}
	if n.Hash == register.HashOf(e.raw) {
		return true
	}
	return n.Entry.Author == e.Author && n.Entry.Stamp == e.Stamp && n.Entry.SeenAt == e.SeenAt &&
		statement(n.Entry) == statement(e.Entry)
}

// statement is what an entry says of its feature.
func statement(e register.Entry) string {
	return string(asJSON(struct {
		Set    model.FieldValues
		Strike *bool
	}{e.Set, e.Strike}))
}

// copyID is the same for the same entry: its stamp's time, then the first bits of a digest.
func copyID(e *sealedEntry) register.ID {
	return intake.EntryID(e.Stamp.Time(), sha256.Sum256(fmt.Appendf(nil, "copy\x00%s\x00%s", e.Property, e.raw)))
}

// copied writes the copy of an entry, under the part of its property that keeps its feature. It saw what the entry says it saw, as far as that is here.
func (h *handingIn) copied(property string, e *sealedEntry, id register.ID, about []register.Numbered) (json.RawMessage, register.Entry, error) {
	name, suffix := []rune(e.Author), ", handed in by "+h.by
	name = name[:min(len(name), register.AuthorRunes-utf8.RuneCountInString(suffix))]
	made := register.Entry{Version: register.Version, ID: id, Property: property, Feature: e.Feature,
		Device: h.copyDevice(property, e), DeviceSeq: e.DeviceSeq, Stamp: e.Stamp, SeenAt: e.SeenAt,
		Author: string(name) + suffix, Saw: map[string]uint64{}, Set: e.Set, Strike: e.Strike}
	for i := range about {
		device, seq := about[i].Entry.Device, about[i].Entry.DeviceSeq
		if device == made.Device {
			continue
		}
		claimed := max(e.Saw[device], e.Saw[register.CopiedFrom(device)])
		if device == e.Device || register.CopiedFrom(device) == e.Device {
			claimed = max(claimed, e.DeviceSeq-1)
		}
		if seq <= claimed {
			made.Saw[device] = max(made.Saw[device], seq)
		}
	}
	raw, err := register.Encode(made)
	return raw, made, err
}

// copyDevice is the id under which an entry's device is copied in this file, or another one where
// the file has two entries under one number.
func (h *handingIn) copyDevice(property string, e *sealedEntry) string {
	number := fmt.Sprintf("%s/%s/%d", property, e.Device, e.DeviceSeq)
	if h.used[number] {
		return register.CopyDevice(newToken()[:8], e.Device)
	}
	h.used[number] = true
	return register.CopyDevice(h.nonce, e.Device)
}

// tell finishes the record of the intake, and says what went in by hand and why.
func (h *handingIn) tell(file string, taken *Taken) error {
	if h.run.id == "" {
		return nil
	}
	h.s.intaking.Lock()
	defer h.s.intaking.Unlock()
	if err := h.run.finish(h.ctx, len(h.made), len(h.edited)); err != nil {
		return err
	}
	taken.Resumed = h.run.continues
	if taken.HandedIn > 0 || h.run.continues {
		taken.Intake = h.run.number
	}
	if taken.HandedIn == 0 {
		return nil
	}
	taken.By = h.by
	for d := unsealed; d <= idTaken; d++ {
		if n := h.faults[d]; n > 0 {
			fix := reasons[d].fix
			if d == numberTaken {
				fix = strings.ReplaceAll(fix, "ROW", h.s.rowsOf(h.devices))
			}
			taken.Notes = append(taken.Notes, &model.Problem{File: file, Reason: entriesWords(n) + " " + reasons[d].reason + ": handed in by " + h.by, Fix: fix})
		}
	}
	return nil
}
