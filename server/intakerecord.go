package server

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"time"

	"github.com/google/uuid"

	"headcut/sync/register"
	"headcut/sync/store"
)

// Intake is a file that was taken in.
type Intake struct {
	Number   int       `json:"number"` // by which it is undone
	Property Property  `json:"property"`
	File     string    `json:"file"`
	Author   string    `json:"author,omitempty"`
	At       time.Time `json:"at"`
	New      int       `json:"new"`    // features
	Edited   int       `json:"edited"` // features
	CutOff   bool      `json:"cutOff,omitempty"`
	Underway bool      `json:"underway,omitempty"` // not all of it is in yet, nor counted
	Undone   bool      `json:"undone,omitempty"`
	Kept     int       `json:"kept,omitempty"` // what undoing it left as it is, since somebody had edited it

	id     string
	ranges []numberRange
}

// numberRange is a stretch of one register: the entries after After, up to UpTo, or up to the newest
// where UpTo is 0.
type numberRange struct {
	Register string `json:"register"`
	After    uint64 `json:"after"`
	UpTo     uint64 `json:"upTo"`
}

// has reports whether an entry of a register is of the intake that has these stretches.
func has(ranges []numberRange, part string, n register.Numbered) bool {
	return ofIntake(n) && slices.ContainsFunc(ranges, func(of numberRange) bool { return of.Register == part && n.N > of.After && n.N <= of.UpTo })
}

// intakeRun is a file on its way in. Its record is written before its first entry, as unfinished and with
// stretches that are open, and is finished after the last one. So when a full
// disk or a kill ends it, it is listed, can be undone, and goes on when the same file is taken in again. While a
// stretch is open nothing else is taken in: s.intaking is held, and whoever takes in the next file first
// closes what was left open (see closeCutOff).
type intakeRun struct {
	s        *Server
	property Property
	file     string
	digest   string // of the file, or of what a phone's file says of itself
	author   string

	id        string // of its record, "" until it has one
	number    int
	continues bool // it was cut off before
}

// resume finds the record of the same file where it was cut off. The caller holds s.intaking.
func (r *intakeRun) resume(ctx context.Context) error {
	if _, err := r.s.closeCutOff(ctx); err != nil {
		return err
	}
	o := r.s.office
	o.mu.RLock()
	defer o.mu.RUnlock()
	for _, i := range o.intakes.rows {
		if i.Unfinished && !i.Undone && i.Digest == r.digest && i.Property == r.property.ID && !r.s.underway[i.id] {
			r.id, r.number, r.continues = i.id, i.Number, true
		}
	}
	return nil
}

// open says that entries are about to be added to registers. The caller holds s.intaking, until it has
// called close.
func (r *intakeRun) open(ctx context.Context, parts []string) error {
	if _, err := r.s.closeCutOff(ctx); err != nil {
		return err
	}
	o := r.s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	record := &intakeRecord{Number: 1, Property: r.property.ID, Name: r.property.Name, File: r.file, Author: r.author, At: second(r.s.now()), Digest: r.digest, Unfinished: true}
	if r.id != "" {
		record = o.intakes.of(r.id)
	}
	ranges := slices.Clone(record.Ranges)
	for _, part := range parts {
		after, err := r.s.store.Newest(ctx, part)
		if err != nil {
			return err
		}
		last := slices.IndexFunc(ranges, func(of numberRange) bool { return of.Register == part && of.UpTo == after })
		if last < 0 {
			ranges = append(ranges, numberRange{Register: part, After: after})
		} else { // it goes on
			ranges[last].UpTo = 0
		}
	}
	var what change
	if r.id == "" {
		for _, i := range o.intakes.rows {
			record.Number = max(record.Number, i.Number+1)
		}
		record.id, record.Ranges = uuid.NewString(), ranges
		what = made(record)
	} else {
		what = changed(record, func(i *intakeRecord) { i.Ranges = ranges })
	}
	if err := o.write(ctx, officeAuthor, what); err != nil {
		return err
	}
	r.id, r.number = record.id, record.Number
	r.s.underway[r.id] = true
	return nil
}

// close says that the last entry was added for now, and changes the record as do says.
func (r *intakeRun) close(ctx context.Context, do func(*intakeRecord)) error {
	ctx = context.WithoutCancel(ctx) // what was added is added
	o := r.s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	record := o.intakes.of(r.id)
	ranges, err := r.s.closed(ctx, record.Ranges)
	if err != nil {
		return err
	}
	return o.write(ctx, officeAuthor, changed(record, func(i *intakeRecord) {
		i.Ranges = ranges
		do(i)
	}))
}

// finish closes the record: all of the file is in. Of one that was cut off before it counts again what came in.
func (r *intakeRun) finish(ctx context.Context, made, edited int) error {
	ctx = context.WithoutCancel(ctx) // what came in is counted though the command was ended meanwhile
	return r.close(ctx, func(i *intakeRecord) {
		before, editedBefore := i.New, i.Edited
		i.New, i.Edited, i.Unfinished = made, edited, false
		if !r.continues {
			return
		}
		if made, edited, err := r.s.cameIn(ctx, i.Ranges); err == nil {
			i.New, i.Edited = made, edited
		} else {
			i.New, i.Edited = i.New+before, i.Edited+editedBefore
		}
	})
}

// end is called when nothing more comes, finished or not. The caller holds s.intaking.
func (r *intakeRun) end() { delete(r.s.underway, r.id) }

// closed gives the stretches with those that are open ending here, without those that nothing came into.
func (s *Server) closed(ctx context.Context, ranges []numberRange) (all []numberRange, err error) {
	for _, of := range ranges {
		if of.UpTo == 0 {
			if of.UpTo, err = s.store.Newest(ctx, of.Register); err != nil {
				return nil, err
			}
		}
		if of.UpTo > of.After {
			all = append(all, of)
		}
	}
	return all, nil
}

// closeCutOff closes what intakes that were cut off have left open: entries that come from now on are not
// theirs. It counts what came in, and gives the records as they are then, by id, also where they cannot be
// written. The caller holds s.intaking.
func (s *Server) closeCutOff(ctx context.Context) (cut map[string]intakeRecord, err error) {
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	cut = map[string]intakeRecord{}
	var changes []change
	for _, i := range o.intakes.rows {
		if !i.Unfinished || s.underway[i.id] || !slices.ContainsFunc(i.Ranges, func(of numberRange) bool { return of.UpTo == 0 }) {
			continue
		}
		is := *i
		if is.Ranges, err = s.closed(ctx, i.Ranges); err != nil {
			return cut, err
		}
		if is.New, is.Edited, err = s.cameIn(ctx, is.Ranges); err != nil {
			return cut, err
		}
		cut[i.id] = is
		changes = append(changes, changed(i, func(i *intakeRecord) { i.Ranges, i.New, i.Edited = is.Ranges, is.New, is.Edited }))
	}
	return cut, o.write(ctx, officeAuthor, changes...)
}

// cameIn counts the features that an intake made and edited.
func (s *Server) cameIn(ctx context.Context, ranges []numberRange) (made, edited int, err error) {
	for _, part := range registersOf(ranges) {
		features, err := s.featuresIn(ctx, part, ranges)
		if err != nil {
			return 0, 0, err
		}
		for _, feature := range features {
			entries, err := s.store.EntriesOf(ctx, part, feature)
			if err != nil {
				return 0, 0, err
			}
			if has(ranges, part, entries[0]) {
				made++
			} else {
				edited++
			}
		}
	}
	return made, edited, nil
}

// registersOf are the registers of an intake's stretches.
func registersOf(ranges []numberRange) (parts []string) {
	for _, of := range ranges {
		if !slices.Contains(parts, of.Register) {
			parts = append(parts, of.Register)
		}
	}
	return parts
}

// featuresIn lists the features of a register that an intake is about, in the order of its entries.
func (s *Server) featuresIn(ctx context.Context, part string, ranges []numberRange) (order []string, err error) {
	last := uint64(0)
	for _, of := range ranges {
		if of.Register == part {
			last = max(last, of.UpTo)
		}
	}
	features := map[string]bool{}
	at := store.Position{}
	for {
		page, next, err := s.store.EntriesAfter(ctx, part, at, 1000)
		if err != nil {
			return nil, err
		}
		if len(page) == 0 || page[0].N > last {
			return order, nil
		}
		for _, n := range page {
			if has(ranges, part, n) && !features[n.Entry.Feature] {
				features[n.Entry.Feature] = true
				order = append(order, n.Entry.Feature)
			}
		}
		at = next
	}
}

func (i *intakeRecord) intake() Intake {
	return Intake{Number: i.Number, Property: Property{ID: i.Property, Name: i.Name}, File: i.File, Author: i.Author,
		At: i.At.Time, New: i.New, Edited: i.Edited, CutOff: i.Unfinished, Undone: i.Undone, Kept: i.Kept, id: i.id, ranges: i.Ranges}
}

// Intakes lists the files that were taken in, the first one first, also those that were cut off.
func (s *Server) Intakes(ctx context.Context) []Intake {
	var cut map[string]intakeRecord
	var underway map[string]bool
	if s.intaking.TryLock() {
		var err error
		if cut, err = s.closeCutOff(ctx); err != nil { // the list is right though it cannot be kept
			s.log.Warn("an intake that was cut off stays open", "error", err)
		} else if err := s.adoptStrays(ctx); err != nil {
			s.log.Warn("intakes that have no record could not be written down", "error", err)
		}
		underway = maps.Clone(s.underway)
		s.intaking.Unlock()
	}
	s.office.mu.RLock()
	defer s.office.mu.RUnlock()
	var all []Intake
	for _, i := range s.office.intakes.rows {
		is := i.intake()
		if as, ok := cut[i.id]; ok {
			is = as.intake()
		}
		open := slices.ContainsFunc(is.ranges, func(of numberRange) bool { return of.UpTo == 0 })
		unfinished := is.CutOff
		is.Underway = unfinished && (underway[i.id] || open)
		is.CutOff = unfinished && !is.Underway
		if len(is.ranges) > 0 || unfinished { // else all was known
			all = append(all, is)
		}
	}
	slices.SortFunc(all, func(a, b Intake) int { return cmp.Compare(a.Number, b.Number) })
	return all
}
