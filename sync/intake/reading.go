package intake

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"time"

	"headcut/model"
	"headcut/sync/register"
)

// reading is a file while it is being read.
type reading struct {
	File
	options      Options
	kindBy       KindBy           // of the record that is being read
	ours         *Ours            // of the record that is being read
	asNew        []*model.Problem // about its values, if it is taken as a new feature
	asNewLeftOut int
	notes        []*model.Problem // about the record that is being read
	uids         map[string]bool
	more         int         // problems beyond MaxProblems
	equal        map[Key]int // how often a key has come up
	once         map[string]bool

	spellings map[[2]string]model.Field // by kind and column; columns recur in each feature

	kindsListed bool // a problem has listed all kinds
}

// refuse is the error that turns the whole file down.
func (r *reading) refuse(line int, path, reason, fix string) error {
	return &model.Problem{File: r.Name, Line: line, Path: path, Reason: reason, Fix: fix}
}

// tell adds a line to the report.
func (r *reading) tell(line int, path, reason, fix string) {
	if len(r.Report) == MaxProblems {
		r.more++
		return
	}
	r.Report = append(r.Report, &model.Problem{File: r.Name, Line: line, Path: path, Reason: reason, Fix: fix})
}

// tellOnce adds a line about a habit of the whole file, where it first shows.
func (r *reading) tellOnce(line int, path, reason, fix string) {
	if r.once[path+reason] {
		return
	}
	if r.once == nil {
		r.once = make(map[string]bool)
	}
	r.once[path+reason] = true
	r.tell(line, path, reason, fix)
}

// note adds a line about what the record that is being read lacks, though nothing of it is left
// out or changed.
func (r *reading) note(line int, reason, fix string) {
	r.notes = append(r.notes, &model.Problem{File: r.Name, Line: line, Reason: reason, Fix: fix})
}

// keep adds a record. source is what the file said of it, which makes its key.
func (r *reading) keep(line int, source []string, fields map[string]json.RawMessage, seenAt time.Time) error {
	if len(r.Records) == MaxRecords {
		return r.refuse(line, "", fmt.Sprintf("has more than %d records", MaxRecords), "split it into smaller files")
	}
	asNew, asNewLeftOut := r.asNew, r.asNewLeftOut
	notes := r.notes
	r.asNew, r.asNewLeftOut, r.notes = nil, 0, nil
	if !r.fit(line, fields) {
		return nil
	}
	key := keyOf(r.Format, source, 0)
	earlier := r.equal[key]
	r.equal[key]++
	if earlier > 0 {
		key = keyOf(r.Format, source, earlier)
	}
	if r.ours != nil && !r.ours.Unversioned {
		if r.uids[r.ours.UID] {
			r.leave(line, "uid", "the feature "+quote(r.ours.UID)+" is in the file twice: the first is kept", "empty the uid of a copy to take it in as a new feature")
			return nil
		}
		if r.uids == nil {
			r.uids = make(map[string]bool)
		}
		r.uids[r.ours.UID] = true
	}
	r.Records = append(r.Records, Record{Key: key, Fields: fields, SeenAt: seenAt, Line: line, KindBy: r.kindBy, Ours: r.ours, AsNew: asNew, AsNewLeftOut: asNewLeftOut, Notes: notes, today: r.options.Today})
	return nil
}

// leave adds a line about a record or a value that is not taken.
func (r *reading) leave(line int, path, reason, fix string) {
	r.LeftOut++
	r.tell(line, path, reason, fix)
}

// leaveValue adds a line about a value that is not taken.
func (r *reading) leaveValue(at, reason string, tell func(at, reason string)) {
	if r.ours == nil {
		r.LeftOut++
	} else {
		r.asNewLeftOut++
	}
	tell(at, reason)
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
	var length [8]byte
	write := func(part string) {
		binary.BigEndian.PutUint64(length[:], uint64(len(part)))
		h.Write(length[:])
		h.Write([]byte(part))
	}
	write(string(format))
	for _, part := range source {
		write(part)
	}
	binary.BigEndian.PutUint64(length[:], uint64(earlier))
	h.Write(length[:])
	return Key(h.Sum(nil))
}

func (r *reading) finish() File {
	if len(r.Records) == 0 {
		r.tell(0, "", "has nothing to take in", "")
	}
	if r.more > 0 {
		r.Report = append(r.Report, &model.Problem{File: r.Name, Reason: fmt.Sprintf("%d more problems are not listed", r.more)})
	}
	return r.File
}
