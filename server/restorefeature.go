package server

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/register"
)

// RestoredFeature answers the restoring of a feature that was struck out.
type RestoredFeature struct {
	Feature string `json:"feature"`
	Kind    string `json:"kind"`
	Name    string `json:"name,omitempty"`
	Already bool   `json:"already,omitempty"` // it was not struck out
}

// officePrefix begins the device of every entry by the office's commands.
const officePrefix = "office-"

// RestoreFeature restores a feature that was struck out, by an entry as any other device's.
func (s *Server) RestoreFeature(ctx context.Context, property, feature, author string) (RestoredFeature, error) {
	p, err := s.Property(property)
	if err != nil {
		return RestoredFeature{}, err
	}
	s.intaking.Lock()
	defer s.intaking.Unlock()
	part, entries, err := s.entriesOf(ctx, p, feature)
	if err != nil {
		return RestoredFeature{}, err
	}
	if len(entries) == 0 {
		return RestoredFeature{}, &model.Problem{Path: "--restore", Reason: quote(feature) + " is no feature of " + p.Name, Fix: "give what an export has in the column uid"}
	}
	state := register.Gather(feature, entries)
	folded := state.Folded()
	f := folded.Model()
	restored := RestoredFeature{Feature: feature, Kind: f.Kind, Name: f.Text("name"), Already: !folded.Struck}
	if restored.Already {
		return restored, nil
	}
	e, no := s.entryAbout(state, part, feature, officePrefix+uuid.NewString(), cmp.Or(author, officeAuthor)), false
	e.Strike = &no
	raw, err := register.Encode(e)
	if err != nil {
		return restored, err
	}
	receipts, err := s.store.Append(ctx, part, []json.RawMessage{raw})
	if err == nil && receipts[0].Refused != "" {
		err = fmt.Errorf("the register refused the entry: %s", receipts[0].Refused)
	}
	return restored, err
}

// entryAbout is an entry of the office about a feature as it is.
func (s *Server) entryAbout(state *register.State, property, feature, device, author string) register.Entry {
	now := s.now()
	return register.Entry{Version: register.Version, ID: newEntryID(), Property: property, Feature: feature, Device: device, DeviceSeq: 1,
		Stamp: register.Next(state.Stamp(), now), SeenAt: now.Format(time.RFC3339), Author: author, Saw: state.Saw(device)}
}

func newEntryID() register.ID {
	return register.ID(uuid.Must(uuid.NewV7()).String()) // never fails: see crypto/rand
}
