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
	"slices"
	"strconv"
	"strings"

	"headcut/model"
	"headcut/sync/register"
)

// undoPrefix begins the device of every entry that undoes an intake.
const undoPrefix = "undo-"

// undoDevice is the device of the entries that undo what an intake said of a feature.
func undoDevice(number int, part, feature string) string {
	digest := sha256.Sum256(fmt.Appendf(nil, "undo\x00%d\x00%s\x00%s", number, part, feature))
	return undoPrefix + hex.EncodeToString(digest[:16])
}

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
// kept and named, a value together with all that belongs to it (model.BelongsTo), and so is what was in
// clash before, of which one entry could give back one side only. What another intake changed, and was undone,
// is nobody's change. Undoing again changes nothing, but strikes out what the office restored since. Without
// an author the entries say that they undo this intake.
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
	u.all = reading(s, func(o *office) (all []Intake) {
		for _, i := range o.intakes.rows {
			all = append(all, i.intake())
		}
		return all
	})
	for _, part := range registersOf(u.undone.Intake.ranges) {
		if err := u.part(part); err != nil {
			return u.undone, err
		}
	}
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	u.undone.Intake.Undone, u.undone.Intake.Kept = true, len(u.undone.Kept)
	return u.undone, o.write(ctx, officeAuthor, changed(o.intakes.of(u.undone.Intake.id), func(i *intakeRecord) {
		i.Undone, i.Kept = true, len(u.undone.Kept)
	}))
}

type undoing struct {
	s      *Server
	ctx    context.Context
	author string
	all    []Intake
	undone Undone
}

// part undoes what the intake said in one register.
func (u *undoing) part(part string) error {
	features, err := u.s.featuresIn(u.ctx, part, u.undone.Intake.ranges)
	if err != nil {
		return err
	}
	var taken Taken
	batch := newBatches(func(part string, raws []json.RawMessage) error {
		return u.s.appendTaken(u.ctx, part, raws, &taken)
	})
	for _, feature := range features {
		raw, err := u.feature(part, feature)
		if err == nil && raw != nil {
			err = batch.add(part, raw)
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
func (u *undoing) feature(part, feature string) (json.RawMessage, error) {
	entries, err := u.s.store.EntriesOf(u.ctx, part, feature)
	if err != nil {
		return nil, err
	}
	h := u.historyOf(part, feature, entries)
	state := register.Gather(feature, entries)
	f := state.Folded()
	called := cmp.Or(f.Model().Text("name"), feature)
	e := u.s.entryAbout(state, part, feature, h.device, u.author)
	e.DeviceSeq += uint64(h.undone)
	if len(h.before) == 0 { // the intake made it
		switch {
		case f.Struck:
			u.undone.Unchanged++
			return nil, nil
		case h.by != "":
			u.keep(called, "was edited since by "+h.by+": it stays", "strike it out on the field page if it should go")
			return nil, nil
		}
		yes := true
		e.Strike = &yes
		u.undone.Struck++
		return register.Encode(e)
	}
	was := register.Fold(feature, h.before)
	restored := map[string]json.RawMessage{}
	for _, value := range slices.Sorted(maps.Keys(h.values)) {
		fields := h.values[value]
		in := func(clashes []register.Clash) bool {
			return slices.ContainsFunc(clashes, func(c register.Clash) bool { return slices.Contains(fields, c.Field) })
		}
		reason, fix := "", "edit it on the field page if it should change"
		switch by := h.setBy[value]; {
		case !slices.ContainsFunc(fields, func(field string) bool { return !h.restored[field] }):
			continue
		case by != "":
			reason = "was edited since by " + by + ": it stays"
		case !in(was.Clashes):
			for _, field := range fields {
				restored[field] = json.RawMessage(cmp.Or(string(was.Fields[field]), "null"))
			}
			continue
		case in(f.Clashes):
			reason, fix = "was in clash before, and is: it stays so", "settle it on the field page"
		default: // one entry cannot say two values: the other would be lost
			reason = "was in clash before: it stays as settled"
		}
		u.keep("", labelOf(f.Model().Kind, value)+" of "+called+" "+reason, fix)
	}
	if len(restored) == 0 {
		if h.undone > 0 {
			u.undone.Unchanged++
		}
		return nil, nil
	}
	e.Set = model.FieldValuesOf(restored)
	u.undone.Restored++
	return register.Encode(e)
}

// history is what the entries of a feature are to the undoing of an intake.
type history struct {
	device   string              // of the entries that undo it
	before   []register.Numbered // the intake's first
	values   map[string][]string // fields that the intake set, by the value that they belong to
	by       string              // who last said something since, "" for nobody
	setBy    map[string]string   // by value, who last set it since, or what belongs to it
	undone   int                 // how often it was undone before
	restored map[string]bool     // fields that got their former values then
}

func (u *undoing) historyOf(part, feature string, entries []register.Numbered) history {
	h := history{device: undoDevice(u.undone.Intake.Number, part, feature), values: map[string][]string{}, setBy: map[string]string{}, restored: map[string]bool{}}
	undos := map[string]Intake{} // by the device that undoes them
	for _, i := range u.all {
		undos[undoDevice(i.Number, part, feature)] = i
	}
	mine := map[string]bool{} // devices of the intake's entries
	for _, n := range entries {
		mine[n.Entry.Device] = mine[n.Entry.Device] || has(u.undone.Intake.ranges, part, n)
	}
	saw := func(e register.Entry) bool { // it may have come before them, where the register was restored
		for device := range e.Saw {
			if mine[device] {
				return true
			}
		}
		return false
	}
	began := false
	for at, n := range entries {
		switch {
		case n.Entry.Device == h.device:
			h.undone++
			for field := range n.Entry.Set.All() {
				h.restored[field] = true
			}
		case has(u.undone.Intake.ranges, part, n):
			began = true
			for field := range n.Entry.Set.All() {
				if value := model.BelongsTo(field); !slices.Contains(h.values[value], field) {
					h.values[value] = append(h.values[value], field)
				}
			}
		case !began && !saw(n.Entry):
			h.before = append(h.before, n)
		case strings.HasPrefix(n.Entry.Device, undoPrefix):
		case strings.HasPrefix(n.Entry.Device, officePrefix) && h.undone > 0: // restored
		default:
			stands := n.Entry.Strike != nil
			for field := range n.Entry.Set.All() {
				if !slices.ContainsFunc(entries[at:], func(later register.Numbered) bool {
					other, is := undos[later.Entry.Device]
					return is && later.Entry.Set.Has(field) && has(other.ranges, part, n)
				}) {
					stands, h.setBy[model.BelongsTo(field)] = true, n.Entry.Author
				}
			}
			if stands {
				h.by = n.Entry.Author
			}
		}
	}
	return h
}

// labelOf is what screens call a field of a kind.
func labelOf(kind, field string) string {
	k, ok := model.KindNamed(kind)
	if !ok {
		k = &model.Kind{}
	}
	if known, ok := k.FieldNamed(field); ok {
		return known.Label
	}
	return field
}

func (u *undoing) keep(called, reason, fix string) {
	u.undone.Kept = append(u.undone.Kept, &model.Problem{Path: called, Reason: reason, Fix: fix})
}
