package server

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"strconv"

	"headcut/model"
	"headcut/sync/register"
)

// undoPrefix begins the device of every entry that undoes an intake.
const undoPrefix = "undo-"

// Undone answers the undoing of an intake.
type Undone struct {
	Intake    Intake           `json:"intake"`
	Struck    int              `json:"struck"`    // new features that were struck out
	Restored  int              `json:"restored"`  // features whose edited fields say again what they said
	Unchanged int              `json:"unchanged"` // features that had been undone before
	Kept      []*model.Problem `json:"kept,omitempty"`
}

func (s *Server) adminUndoIntake(ctx context.Context, query url.Values) (Undone, error) {
	number, err := strconv.Atoi(query.Get("number"))
	if err != nil {
		return Undone{}, &model.Problem{Path: "--undo", Reason: quote(query.Get("number")) + " is no number of an intake", Fix: "see 'headcut intake --list'"}
	}
	return s.UndoIntake(ctx, number, query.Get("author"))
}

// UndoIntake takes back all that one intake added, by new entries: features that it made are
// struck out, fields that it edited get the values they had. What somebody changed since is
// kept and named. Undoing again changes nothing. Without an author the entries say that they
// undo this intake.
func (s *Server) UndoIntake(ctx context.Context, number int, author string) (Undone, error) {
	s.intaking.Lock()
	defer s.intaking.Unlock()
	if _, err := s.closeCutOff(ctx); err != nil {
		return Undone{}, err
	}
	record := reading(s, func(o *office) *intakeRecord { return o.intakes.one(byNumber, strconv.Itoa(number)) })
	switch {
	case record == nil:
		return Undone{}, &model.Problem{Path: "--undo", Reason: fmt.Sprintf("there is no intake %d", number), Fix: "see 'headcut intake --list'"}
	case s.underway[record.id]:
		return Undone{}, &model.Problem{Path: "--undo", Reason: fmt.Sprintf("intake %d is still on its way in", number), Fix: "wait until it is done, then undo it"}
	}
	u := undoing{s: s, ctx: ctx, author: cmp.Or(author, fmt.Sprintf("undo of intake %d", number)), undone: Undone{Intake: record.intake()}}
	for _, stretch := range u.undone.Intake.ranges {
		if err := u.stretch(stretch); err != nil {
			return u.undone, err
		}
	}
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	u.undone.Intake.Undone = true
	return u.undone, o.write(ctx, officeAuthor, changed(o.intakes.of(u.undone.Intake.id), func(i *intakeRecord) { i.Undone = true }))
}

type undoing struct {
	s      *Server
	ctx    context.Context
	author string
	undone Undone
}

func (u *undoing) stretch(r numberRange) error {
	order, err := u.s.featuresIn(u.ctx, r)
	if err != nil {
		return err
	}
	var taken Taken
	batch := newBatches(func(register string, raws []json.RawMessage) error {
		return u.s.appendTaken(u.ctx, register, raws, &taken)
	})
	for _, feature := range order {
		raw, err := u.feature(r, feature)
		if err == nil && raw != nil {
			err = batch.add(r.Register, raw)
		}
		if err != nil {
			return err
		}
	}
	err = batch.flush()
	u.undone.Kept = append(u.undone.Kept, taken.Refused...)
	return err
}

// feature makes the entry that takes back what the intake said of a feature, nil when there
// is nothing to take back.
func (u *undoing) feature(r numberRange, feature string) (json.RawMessage, error) {
	entries, err := u.s.store.EntriesOf(u.ctx, r.Register, feature)
	if err != nil {
		return nil, err
	}
	digest := sha256.Sum256(fmt.Appendf(nil, "undo\x00%d\x00%s\x00%s", u.undone.Intake.Number, r.Register, feature))
	device := undoPrefix + hex.EncodeToString(digest[:16])
	var before, later []register.Numbered
	set := map[string]json.RawMessage{} // what the intake set
	first := uint64(0)
	for _, n := range entries {
		switch {
		case n.Entry.Device == device:
			u.undone.Unchanged++
			return nil, nil
		case r.has(n):
			if first == 0 {
				first = n.N
			}
			maps.Insert(set, n.Entry.Set.All())
		case first == 0:
			before = append(before, n)
		default:
			later = append(later, n)
		}
	}
	state := register.Gather(feature, entries)
	e := u.s.entryAbout(state, r.Register, feature, device, u.author)
	f := state.Folded()
	called := cmp.Or(f.Model().Text("name"), feature)
	if len(before) == 0 { // the intake made it
		switch {
		case f.Struck:
			u.undone.Unchanged++
			return nil, nil
		case len(later) > 0:
			u.keep(called, "was edited since by "+later[len(later)-1].Entry.Author+": it stays", "strike it out on the field page if it should go")
			return nil, nil
		}
		yes := true
		e.Strike = &yes
		u.undone.Struck++
		return register.Encode(e)
	}
	was := register.Fold(feature, before).Fields
	restored := map[string]json.RawMessage{}
	for field := range set {
		if by := lastToSet(later, field); by != "" {
			u.keep(called, field+" was edited since by "+by+": it stays", "edit it on the field page if it should change")
			continue
		}
		restored[field] = json.RawMessage("null")
		if value, ok := was[field]; ok {
			restored[field] = value
		}
	}
	if len(restored) == 0 {
		return nil, nil
	}
	e.Set = model.FieldValuesOf(restored)
	u.undone.Restored++
	return register.Encode(e)
}

func lastToSet(entries []register.Numbered, field string) (author string) {
	for _, n := range entries {
		if n.Entry.Set.Has(field) {
			author = n.Entry.Author
		}
	}
	return author
}

func (u *undoing) keep(called, reason, fix string) {
	u.undone.Kept = append(u.undone.Kept, &model.Problem{Path: called, Reason: reason, Fix: fix})
}
