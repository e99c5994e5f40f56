package server

import (
	"context"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"headcut/sync/intake"
	"headcut/sync/register"
	"headcut/sync/store"
)

// Older versions wrote down what an intake had added only after it was added: one that was killed left up to
// takeInAtOnce entries, or what it had taken of each batch, that no intake was known to have made, so that no
// undo reached them. Listing the intakes looks for such entries and makes records of them.

// strayFile stands for the name of the file that they are of, which nobody wrote down.
const strayFile = "(file not recorded)"

// strayGap parts two intakes: the entries of one come within less of each other.
const strayGap = time.Minute

// stray is a stretch of entries that no record has.
type stray struct {
	author  string
	at      time.Time
	ranges  []numberRange
	newest  time.Time
	mayGoOn bool // nothing that looks like an intake's has come since
}

// adoptStrays writes records of intakes that have none. What was looked through is not looked through again
// while the server runs. The caller holds s.intaking.
func (s *Server) adoptStrays(ctx context.Context) error {
	if s.lookedForStrays == nil {
		s.lookedForStrays = map[string]store.Position{}
	}
	for _, part := range s.allProperties() {
		strays, next, err := s.straysIn(ctx, part, s.lookedForStrays[part])
		if err != nil {
			return err
		}
		if err := s.recordStrays(ctx, part, strays); err != nil {
			return err
		}
		s.lookedForStrays[part] = next
	}
	return nil
}

// straysIn finds the stretches of a register after a position, and the position up to which it has looked.
func (s *Server) straysIn(ctx context.Context, part string, at store.Position) (strays []stray, next store.Position, err error) {
	recorded := reading(s, func(o *office) (all []numberRange) {
		for _, i := range o.intakes.rows {
			all = append(all, i.Ranges...)
		}
		return slices.DeleteFunc(all, func(of numberRange) bool { return of.Register != part })
	})
	for {
		page, next, err := s.store.EntriesAfter(ctx, part, at, 1000)
		if err != nil || len(page) == 0 {
			return strays, at, err
		}
		for _, n := range page {
			if !ofIntake(n) {
				continue
			}
			last := len(strays) - 1
			switch {
			case has(recorded, part, n), !s.deviceUnknown(n.Entry.Device): // the latter are of a phone that chose such an id
				if last >= 0 {
					strays[last].mayGoOn = false
				}
			case last >= 0 && strays[last].author == n.Entry.Author && n.Arrived.Time().Sub(strays[last].newest) < strayGap:
				of := &strays[last]
				if of.mayGoOn {
					of.ranges[len(of.ranges)-1].UpTo = n.N
				} else {
					of.ranges = append(of.ranges, numberRange{Register: part, After: n.N - 1, UpTo: n.N})
				}
				of.mayGoOn, of.newest = true, n.Arrived.Time()
			default:
				strays = append(strays, stray{author: n.Entry.Author, at: n.Arrived.Time(), newest: n.Arrived.Time(), mayGoOn: true, ranges: []numberRange{{Register: part, After: n.N - 1, UpTo: n.N}}})
			}
		}
		at = next
	}
}

// ofIntake reports whether an entry came from a file.
func ofIntake(n register.Numbered) bool {
	return strings.HasPrefix(n.Entry.Device, intake.DevicePrefix) || register.IsCopy(n.Entry.Device)
}

// recordStrays writes a record of each.
func (s *Server) recordStrays(ctx context.Context, part string, strays []stray) error {
	if len(strays) == 0 {
		return nil
	}
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	number := 0
	for _, i := range o.intakes.rows {
		number = max(number, i.Number)
	}
	var changes []change
	for _, of := range strays {
		number++
		record := &intakeRecord{Number: number, Property: part, Name: o.property(part).Name, File: strayFile, Author: of.author, At: second(of.at), Ranges: of.ranges}
		var err error
		if record.New, record.Edited, err = s.cameIn(ctx, of.ranges); err != nil {
			return err
		}
		record.id = uuid.NewString()
		changes = append(changes, made(record))
	}
	return o.write(ctx, officeAuthor, changes...)
}
