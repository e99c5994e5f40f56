package server

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"

	"headcut/model"
	"headcut/sync/intake"
	"headcut/sync/register"
	"headcut/sync/store"
)

// Taken answers an intake of one file.
type Taken struct {
	Property Property `json:"property"`
	Made     bool     `json:"made"`
	New      int      `json:"new"`   // entries that were added, or would be
	Known    int      `json:"known"` // entries that were here already
	DryRun   bool     `json:"dryRun,omitempty"`
	Intake   int      `json:"intake,omitempty"`  // number by which it can be undone; 0 when nothing was added
	Resumed  bool     `json:"resumed,omitempty"` // it was cut off before, and went on

	CutOff *model.Problem `json:"cutOff,omitempty"` // why not all of the file is in, what is, and what to do

	Format         intake.Format `json:"format,omitempty"`
	Features       int           `json:"features"` // in the file
	NewFeatures    int           `json:"newFeatures"`
	KnownFeatures  int           `json:"knownFeatures"`            // of which the file says nothing new
	StruckFeatures int           `json:"struckFeatures,omitempty"` // known ones that were struck out, and stay so
	Edited         int           `json:"edited"`                   // features that the file says something else of
	Absent         int           `json:"absent,omitempty"`         // features of the property that an edited export has no more: they stay
	AbsentNames    []string      `json:"absentNames,omitempty"`    // of the first few of them
	LeftOut        int           `json:"leftOut"`                  // records and values of the file that were not taken
	Kinds          []KindCount   `json:"kinds,omitempty"`
	Edits          []FeatureEdit `json:"edits,omitempty"` // the first MostEdits of them

	// Of a file that a phone handed over, whose entries name their properties themselves.
	From        string   `json:"from,omitempty"` // whose phone
	Device      string   `json:"device,omitempty"`
	On          []string `json:"on,omitempty"` // names of the properties that its entries are of
	PhotosNew   int      `json:"photosNew,omitempty"`
	PhotosKnown int      `json:"photosKnown,omitempty"`
	HandedIn    int      `json:"handedIn,omitempty"` // of the new entries, those that go in by the hand of By
	By          string   `json:"by,omitempty"`       // who handed those in

	Refused []*model.Problem `json:"refused,omitempty"`
	Notes   []*model.Problem `json:"notes,omitempty"`
}

// KindCount is how many new features got a kind, and what it was found by.
type KindCount struct {
	Kind string        `json:"kind"`
	By   intake.KindBy `json:"by,omitempty"`
	N    int           `json:"n"`
}

// FeatureEdit is what a file says otherwise of a feature.
type FeatureEdit struct {
	Feature string          `json:"feature"`
	Kind    string          `json:"kind"`
	Name    string          `json:"name,omitempty"`
	Changes []intake.Change `json:"changes"`
	Clashes []string        `json:"clashes,omitempty"` // fields that somebody else changed meanwhile
}

// MostEdits is how many edits an answer lists.
const MostEdits = 500

func (s *Server) adminIntake(w http.ResponseWriter, r *http.Request) {
	query := r.URL.Query()
	body, handedOver := recognised(w, r)
	var taken Taken
	var err error
	switch {
	case handedOver && query.Get("property") != "":
		err = &model.Problem{Path: "--property", Reason: "a file that a phone saved names its properties itself, and goes to no other", Fix: "take it in without --property"}
	case handedOver && query.Get("dryRun") != "":
		err = &model.Problem{Path: "--dry-run", Reason: "a file that a phone saved is taken in as the phone would send it", Fix: "take it in without --dry-run: sending again is harmless"}
	case handedOver:
		taken, err = s.takeHandover(r.Context(), query.Get("file"), query.Get("author"), body)
	default:
		taken, err = s.takeFile(r.Context(), body, query)
	}
	s.answer(w, r, taken, err)
}

// takeFile takes in a file of another device, as the query says.
func (s *Server) takeFile(ctx context.Context, body io.Reader, query url.Values) (Taken, error) {
	dryRun := query.Get("dryRun") != ""
	digest := sha256.New()
	file, err := intake.ReadAs(query.Get("file"), io.TeeReader(body, digest), intake.Options{Kind: query.Get("kind"), Today: latestDay(s.now())})
	if err != nil {
		return Taken{}, err
	}
	if query.Get("new") == "" {
		if err := s.refuseSlips(query.Get("property")); err != nil {
			return Taken{}, err
		}
	}
	p, made, err := s.propertyForIntake(ctx, query.Get("property"), dryRun)
	if err != nil {
		return Taken{}, err
	}
	run := &intakeRun{s: s, property: p, file: file.Name, digest: hex.EncodeToString(digest.Sum(nil)), author: query.Get("author")}
	taken, err := s.takeIn(ctx, run, file, dryRun, query.Get("far") != "")
	taken.Property, taken.Made = p, made
	if err != nil && made && !dryRun {
		taken.CutOff = &model.Problem{Reason: s.whyCutOff(err) + ": the property was made, and nothing of the file is in", Fix: "mend that and take the file in again"}
		return taken, nil
	}
	return taken, err
}

// propertyForIntake finds a property or makes it; a dry run makes nothing.
func (s *Server) propertyForIntake(ctx context.Context, name string, dryRun bool) (p Property, made bool, err error) {
	if !dryRun {
		return s.PropertyOrNew(ctx, name)
	}
	if p, err = s.Property(name); err != nil && name != "" {
		return Property{ID: "not-made", Name: name}, true, nil
	}
	return p, false, err
}

// takeInAtOnce is how many entries of a file are appended in one transaction.
const takeInAtOnce = 1000

// batches gathers what goes into registers until there is enough of it.
type batches[T any] struct {
	of    map[string][]T // by register
	write func(register string, all []T) error
}

func newBatches[T any](write func(register string, all []T) error) batches[T] {
	return batches[T]{map[string][]T{}, write}
}

func (b batches[T]) add(register string, one T) error {
	if b.of[register] = append(b.of[register], one); len(b.of[register]) < takeInAtOnce {
		return nil
	}
	return b.flush()
}

func (b batches[T]) flush() error {
	for register, all := range b.of {
		delete(b.of, register)
		if err := b.write(register, all); err != nil {
			return err
		}
	}
	return nil
}

// taking is one file on its way into a property.
type taking struct {
	*intakeRun
	ctx    context.Context
	opened []string // registers that its record has a stretch of, where entries may be in
	taken  Taken
	kinds  map[KindCount]int
	batch  batches[register.Entry]

	anchors     anchors         // none: nothing is too far
	unversioned map[string]bool // features known by the uid of a record without a version
}

func (s *Server) takeIn(ctx context.Context, run *intakeRun, file intake.File, dryRun, far bool) (Taken, error) {
	s.intaking.Lock() // so that the numbers of one intake's entries hold no other's
	defer s.intaking.Unlock()
	defer run.end()
	t := &taking{intakeRun: run, ctx: ctx, kinds: map[KindCount]int{}, unversioned: map[string]bool{},
		taken: Taken{DryRun: dryRun, Format: file.Format, Features: len(file.Records), LeftOut: file.LeftOut, Notes: file.Report}}
	t.batch = newBatches(t.append)
	if _, err := intake.Entries(file, t.property.ID, t.author); err != nil { // the author or the property cannot stand in an entry
		return t.taken, err
	}
	if !dryRun {
		if err := run.resume(ctx); err != nil {
			return t.taken, err
		}
	}
	if err := t.all(file, far); err != nil {
		if len(t.opened) == 0 {
			return t.taken, err
		}
		run.end()
		t.taken.Intake, t.taken.CutOff = run.number, s.cutOff(ctx, run, err)
		return t.taken, nil
	}
	for kind, n := range t.kinds {
		kind.N = n
		t.taken.Kinds = append(t.taken.Kinds, kind)
	}
	slices.SortFunc(t.taken.Kinds, func(a, b KindCount) int {
		return cmp.Or(cmp.Compare(b.N, a.N), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.By, b.By))
	})
	if t.taken.New > 0 || run.continues {
		t.taken.Intake, t.taken.Resumed = run.number, run.continues
	}
	return t.taken, nil
}

// all takes in the records of a file.
func (t *taking) all(file intake.File, far bool) (err error) {
	if !far {
		if t.anchors, err = t.anchorsOf(file); err != nil {
			return err
		}
	}
	for _, record := range file.Records {
		if err := t.record(record); err != nil {
			return err
		}
	}
	if err := t.batch.flush(); err != nil {
		return err
	}
	if err := t.countAbsent(file); err != nil || t.id == "" {
		return err
	}
	return t.finish(t.ctx, t.taken.NewFeatures, t.taken.Edited)
}

// cutOff says what of a file is in when an error has ended its intake, which is not under way any more.
// The caller holds s.intaking.
func (s *Server) cutOff(ctx context.Context, run *intakeRun, why error) *model.Problem {
	s.log.Error("an intake was cut off", "file", run.file, "intake", run.number, "error", why)
	in := "what of the file is in could not be counted"
	if cut, err := s.closeCutOff(context.WithoutCancel(ctx)); err == nil || len(cut) > 0 {
		is := *s.office.intakes.of(run.id)
		if now, still := cut[run.id]; still {
			is = now
		}
		in = fmt.Sprintf("it made %d and edited %d features before that", is.New, is.Edited)
	}
	return &model.Problem{Reason: fmt.Sprintf("%s: intake %d was cut off; %s", s.whyCutOff(why), run.number, in),
		Fix: fmt.Sprintf("mend that, then take the same file in again: it continues, and nothing comes in twice; or undo what is in with --undo %d", run.number)}
}

// whyCutOff words an error that ended an intake.
func (s *Server) whyCutOff(err error) string {
	problem, known := errors.AsType[*model.Problem](err)
	switch {
	case known:
		return problem.Error()
	case errors.Is(err, context.Canceled):
		return "the command was ended"
	case errors.Is(err, store.ErrFull):
		return "the disk that " + s.folder + " is on is full"
	}
	return err.Error()
}

// entriesOf finds a feature in whichever register of the property it is kept.
func (s *Server) entriesOf(ctx context.Context, p Property, feature string) (part string, entries []register.Numbered, err error) {
	for _, part := range s.parts(p.ID) {
		entries, err := s.store.EntriesOf(ctx, part, feature)
		if err != nil || len(entries) > 0 {
			return part, entries, err
		}
	}
	return p.ID, nil, nil
}

func (t *taking) add(part string, entries ...register.Entry) error {
	for _, e := range entries {
		if err := t.batch.add(part, e); err != nil {
			return err
		}
	}
	return nil
}

// append writes entries that the register does not have. Where it has another one under the id of such an
// entry, whoever wrote that had worked it out from the file: the entry gets an id that nobody can.
func (t *taking) append(part string, entries []register.Entry) error {
	ids := model.Each(entries, func(e register.Entry) register.ID { return e.ID })
	free, err := t.s.store.Missing(t.ctx, part, ids)
	if err != nil {
		return err
	}
	var batch []json.RawMessage
	for _, e := range entries {
		if len(free) > 0 && free[0] == e.ID {
			free = free[1:]
		} else {
			e.ID = newEntryID()
		}
		raw, err := register.Encode(e)
		if err != nil {
			return err
		}
		batch = append(batch, raw)
	}
	if t.taken.DryRun {
		t.taken.New += len(batch)
		return nil
	}
	if !slices.Contains(t.opened, part) {
		if err := t.open(t.ctx, []string{part}); err != nil {
			return err
		}
		t.opened = append(t.opened, part)
	}
	return t.s.appendTaken(t.ctx, part, batch, &t.taken)
}

// appendTaken appends entries of an intake. When ctx ends it does so before or after them: the store
// may still commit what a caller has given up, and then the intake's stretch would have been closed
// without it.
func (s *Server) appendTaken(ctx context.Context, property string, batch []json.RawMessage, taken *Taken) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	receipts, err := s.store.Append(context.WithoutCancel(ctx), property, batch)
	for _, receipt := range receipts {
		switch {
		case receipt.Refused != "":
			taken.Refused = append(taken.Refused, &model.Problem{Path: string(receipt.ID), Reason: receipt.Refused})
		case receipt.Known:
			taken.Known++
		default:
			taken.New++
		}
	}
	return err
}
