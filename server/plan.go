package server

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"iter"
	"net/url"
	"time"

	"headcut/model"
	"headcut/model/planning"
	"headcut/model/recorded"
	"headcut/sync/intake"
	"headcut/sync/register"
)

// PlanRequest asks for a plan of works on a property.
type PlanRequest struct {
	Property string `json:"property"`
	planning.Request
	Adopt  bool   `json:"adopt,omitempty"`
	Author string `json:"author,omitempty"`
}

// Planned answers it.
type Planned struct {
	Property Property `json:"property"`
	planning.Outcome
	Intake int `json:"intake,omitempty"` // number by which the adoption can be undone; 0 when nothing was added
}

// Plan drafts from what the register has, calculates, and writes the answer down where that is asked for.
func (s *Server) Plan(ctx context.Context, r PlanRequest) (Planned, error) {
	p, err := s.Property(r.Property)
	if err != nil {
		return Planned{}, err
	}
	adoptedOn := ""
	if r.Adopt {
		s.intaking.Lock() // from the draft on: an intake in between could change what it is made of
		defer s.intaking.Unlock()
		adoptedOn = s.now().Format(time.DateOnly)
	}
	property, err := s.recorded(ctx, p)
	if err != nil {
		return Planned{}, err
	}
	planned := Planned{Property: p}
	if planned.Outcome, err = property.Plan(r.Request, adoptedOn); err != nil || planned.Adoption == nil {
		return planned, err
	}
	planned.Intake, err = s.adopt(ctx, p, planned.Draft, *planned.Adoption, cmp.Or(r.Author, officeAuthor))
	return planned, err
}

// recorded is what the register has of a property, for planning.
func (s *Server) recorded(ctx context.Context, p Property) (*planning.Property, error) {
	var failed error
	all := planning.Survey(p.ID, func(yield func(recorded.Item) bool) {
		for f, err := range s.folded(ctx, p.ID) {
			if failed = err; err != nil || !yield(recordedItem(f)) {
				return
			}
		}
	})
	return all, failed
}

func recordedItem(f register.Folded) recorded.Item {
	return recorded.Item{Feature: f.Model(), Version: string(f.Seen.Append(nil)), Struck: f.Struck, Clashes: clashing(f)}
}

// adopt writes an adoption down as one intake, so that it is listed and can be undone as a whole; one
// that was cut off goes on when the same plan is adopted again. The caller holds s.intaking.
func (s *Server) adopt(ctx context.Context, p Property, d planning.Draft, a planning.Adoption, author string) (number int, err error) {
	run := &intakeRun{s: s, property: p, file: "plan of " + string(d.Plans) + ", " + cmp.Or(d.Of.Name, d.Of.Feature), digest: a.Plan, author: author}
	defer run.end()
	t := &taking{intakeRun: run, ctx: ctx}
	t.batch = newBatches(t.append)
	if err := run.resume(ctx); err != nil || len(a.Changes) == 0 && !run.continues {
		return 0, err
	}
	if err := t.adoption(d, a); err != nil {
		if len(t.opened) == 0 {
			return 0, err
		}
		run.end()
		return run.number, s.cutOff(ctx, run, err)
	}
	return run.number, nil
}

// adoption takes in the changes of a plan, all but the plan itself first.
func (t *taking) adoption(d planning.Draft, a planning.Adoption) error {
	home, _, err := t.s.entriesOf(t.ctx, t.property, d.Of.Feature)
	if err != nil {
		return err
	}
	made, edited := 0, 0
	for _, c := range a.Changes {
		part, entries, err := t.s.entriesOf(t.ctx, t.property, c.Feature)
		if err != nil {
			return err
		}
		if c.New {
			part = home
			made++
		} else {
			edited++
		}
		state := register.Gather(c.Feature, entries)
		digest := sha256.Sum256(fmt.Appendf(nil, "plan\x00%s\x00%s\x00%x", a.Plan, c.Feature, uint64(state.Folded().Seen)))
		e := t.s.entryAbout(state, part, c.Feature, intake.DevicePrefix+hex.EncodeToString(digest[:16]), t.author)
		e.Set = model.FieldValuesOf(c.Fields)
		if err := t.add(part, e); err != nil {
			return err
		}
	}
	if err := t.batch.flush(); err != nil {
		return err
	}
	if len(t.taken.Refused) > 0 {
		return errors.New("the register refused an entry of the plan: " + t.taken.Refused[0].Reason)
	}
	return t.finish(t.ctx, made, edited)
}

// PlanRow is an adopted plan, with what of its base is another since.
type PlanRow struct {
	Feature string                `json:"feature"`
	Name    string                `json:"name"`
	Plans   planning.Purpose      `json:"plans"`
	By      string                `json:"by"`
	At      string                `json:"at"`
	Works   []planning.PlaceWorks `json:"works"` // that it proposed, by how far they have come
	Changed []planning.BaseChange `json:"changed"`
}

// PlanRows lists the plans of a property, the first one first.
func (s *Server) PlanRows(ctx context.Context, query url.Values) ([]PlanRow, error) {
	p, err := s.Property(query.Get("property"))
	if err != nil {
		return nil, err
	}
	property, err := s.recorded(ctx, p)
	if err != nil {
		return nil, err
	}
	var rows []PlanRow
	for f, err := range s.ofParts(s.parts(p.ID), func(part string) iter.Seq2[register.Folded, error] {
		return s.store.FeaturesOf(ctx, part, model.PlanKind)
	}) {
		if err != nil {
			return nil, err
		}
		if f.Struck {
			continue
		}
		plan := recordedItem(f)
		rows = append(rows, PlanRow{f.Feature, plan.Text("name"), planning.Purpose(plan.Text("plans")), f.Recorded.Author, f.Recorded.SeenAt, property.WorksOf(f.Feature), property.Changed(&plan)})
	}
	model.SortStable(rows, func(a, b PlanRow) int { return cmp.Compare(a.At, b.At) })
	return rows, nil
}
