package intake

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"time"

	"headcut/model"
	"headcut/sync/register"
)

// reading is a file while it is being read.
type reading struct {
	File
	options Options
	next    Record          // what is known so far of the record that is being read
	more    int             // problems beyond MaxProblems
	equal   map[Key]int     // how often a key has come up
	uids    map[string]bool // of features of exports
	once    map[string]bool // what is said once of a file

	kindsListed bool // a problem has listed all kinds
}

// problem is one of the file.
func (r *reading) problem(line int, path, reason, fix string) *model.Problem {
	return &model.Problem{File: r.Name, Line: line, Path: path, Reason: reason, Fix: fix}
}

// refuse is the error that turns the whole file down.
func (r *reading) refuse(line int, path, reason, fix string) error {
	return r.problem(line, path, reason, fix)
}

// report adds a line to the report.
func (r *reading) report(line int, path, reason, fix string) {
	if len(r.Report) == MaxProblems {
		r.more++
		return
	}
	r.Report = append(r.Report, r.problem(line, path, reason, fix))
}

// reportOnce adds a line about a habit of the whole file, where it first shows.
func (r *reading) reportOnce(line int, path, reason, fix string) {
	if !r.once[path+reason] {
		r.once[path+reason] = true
		r.report(line, path, reason, fix)
	}
}

// reportValue adds a line about a value of the record that is being read. Of one from an export it
// counts only if no feature has its uid.
func (r *reading) reportValue(p *model.Problem) {
	if r.next.Ours != nil {
		r.next.AsNew = append(r.next.AsNew, p)
		return
	}
	r.report(p.Line, p.Path, p.Reason, p.Fix)
}

// leave adds a line about a record or a value that is not taken.
func (r *reading) leave(line int, path, reason, fix string) {
	r.LeftOut++
	r.report(line, path, reason, fix)
}

// leaveValue counts a value that is not taken.
func (r *reading) leaveValue() {
	if r.next.Ours != nil {
		r.next.AsNewLeftOut++
	} else {
		r.LeftOut++
	}
}

// note adds a line about what the record that is being read lacks, though nothing of it is left
// out or changed.
func (r *reading) note(line int, reason, fix string) {
	r.next.Notes = append(r.next.Notes, r.problem(line, "", reason, fix))
}

// keep adds the record that was read. source is what the file said of it, which makes its key.
func (r *reading) keep(line int, source []string, fields map[string]json.RawMessage, seenAt time.Time) error {
	if len(r.Records) == MaxRecords {
		return r.refuse(line, "", fmt.Sprintf("has more than %d records", MaxRecords), "split it into smaller files")
	}
	record := r.next
	r.next = Record{}
	if !r.fit(line, fields) {
		return nil
	}
	record.Key = keyOf(r.Format, source, 0)
	earlier := r.equal[record.Key]
	r.equal[record.Key]++
	if earlier > 0 {
		record.Key = keyOf(r.Format, source, earlier)
	}
	if record.Ours != nil && !record.Ours.Unversioned {
		uid := record.Ours.UID
		if r.uids[uid] {
			r.leave(line, "uid", "the feature "+quote(uid)+" is in the file twice: the first is kept", "empty the uid of a copy to take it in as a new feature")
			return nil
		}
		r.uids[uid] = true
	}
	record.Fields, record.SeenAt, record.Line, record.today = fields, seenAt, line, r.options.Today
	r.Records = append(r.Records, record)
	return nil
}

// fieldRoom is how large a value may be so that an entry holds it with room to spare.
const fieldRoom = register.EntryBytes - 4<<10

// fit leaves out the values that no entry can hold, and says whether the record can do
// without them.
func (r *reading) fit(line int, fields map[string]json.RawMessage) bool {
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		if len(fields[name]) <= fieldRoom {
			continue
		}
		reason := fmt.Sprintf("has %d bytes, and an entry has room for %d", len(fields[name]), fieldRoom)
		if name == "geometry" || name == "rows" {
			r.leave(line, name, reason+": the record is left out", "split it, or leave out positions that tell nothing")
			return false
		}
		r.leave(line, name, reason+": the value is left out", "")
		delete(fields, name)
	}
	return true
}

// keyOf hashes the parts, each after its length, so that no two lists of parts run
// together into the same bytes.
func keyOf(format Format, source []string, earlier int) Key {
	h := sha256.New()
	write := func(part string) {
		_ = binary.Write(h, binary.BigEndian, uint64(len(part))) // a hash takes everything
		_, _ = io.WriteString(h, part)
	}
	write(string(format))
	for _, part := range source {
		write(part)
	}
	_ = binary.Write(h, binary.BigEndian, uint64(earlier))
	return Key(h.Sum(nil))
}

// finish ends the report. A file without anything is no success: whoever gives one takes it for more.
func (r *reading) finish() File {
	if len(r.Records) == 0 {
		r.LeftOut = max(1, r.LeftOut)
		r.report(0, "", "has nothing to take in", "see that the file was written to its end")
	}
	if r.more > 0 {
		r.Report = append(r.Report, r.problem(0, "", fmt.Sprintf("%d more problems are not listed", r.more), ""))
	}
	return r.File
}
