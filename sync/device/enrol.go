package device

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"

	"go.etcd.io/bbolt"

	"headcut/model"
)

// Enrol makes the device known to a server by a one-time code from the office. A device
// whose id turned out to be another's too (ErrEnrolAnew) gets a new id here, and all its
// unsent entries with it.
func (d *Device) Enrol(ctx context.Context, server, code, author string) error {
	d.talking.Lock()
	defer d.talking.Unlock()
	me := d.who()
	former := me
	if me.Cloned {
		id, err := d.newID()
		if err != nil {
			return err
		}
		me.ID, me.Cloned = string(id), false
	}
	me.Server, me.Author = strings.TrimRight(server, "/"), author
	if err := d.askToEnrol(ctx, &me, code, former); err != nil {
		return err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	err := d.db.Update(func(tx *bbolt.Tx) error {
		if me.ID != d.self.ID {
			if err := relabelAll(tx, me.ID); err != nil {
				return err
			}
		}
		return d.keepSelf(tx, me)
	})
	if err == nil {
		d.self = me
	}
	return err
}

func relabelAll(tx *bbolt.Tx, to string) error {
	var properties []string
	err := tx.ForEach(func(name []byte, _ *bbolt.Bucket) error {
		if property, ok := strings.CutPrefix(string(name), "p/"); ok {
			properties = append(properties, property)
		}
		return nil
	})
	if err != nil {
		return err
	}
	for _, property := range properties {
		s, err := shelfOf(tx, property)
		if err != nil {
			return err
		}
		if err := s.relabel(to); err != nil {
			return err
		}
	}
	return nil
}

// askToEnrol redeems the code and fills in what the server gives. former is who the device was,
// which it proves: what it wrote then goes along.
func (d *Device) askToEnrol(ctx context.Context, me *self, code string, former self) error {
	ask := map[string]any{"code": code, "device": me.ID, "author": me.Author}
	if former.ID != me.ID && former.Token != "" {
		ask["former"] = map[string]string{"device": former.ID, "token": former.Token}
	}
	body, err := json.Marshal(ask)
	if err != nil {
		return err
	}
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, me.Server+"/enrol", bytes.NewReader(body))
	if err != nil {
		return &model.Problem{Path: "server", Reason: fmt.Sprintf("%q is not an address", me.Server), Fix: "give it as https://name"}
	}
	request.Header.Set("Content-Type", "application/json")
	d.o.HTTP.CloseIdleConnections() // a code is good once: do not lose it on a connection that a server left behind
	answer, err := d.o.HTTP.Do(request)
	if err != nil {
		return err
	}
	defer answer.Body.Close() // it was only read
	said, err := io.ReadAll(io.LimitReader(answer.Body, 1<<20))
	if err != nil {
		return err
	}
	if answer.StatusCode != http.StatusOK {
		problem := new(model.Problem)
		if json.Unmarshal(said, problem) != nil || problem.Reason == "" {
			problem.Reason = "the server answered " + answer.Status
		}
		return problem
	}
	var granted struct {
		Token      string     `json:"token"`
		Device     string     `json:"device"`
		Author     string     `json:"author"`
		Properties []Property `json:"properties"`
	}
	if err := json.Unmarshal(said, &granted); err != nil || granted.Token == "" || granted.Device != me.ID {
		return &model.Problem{Path: "server", Reason: "its answer to the enrolment cannot be read", Fix: "is this the register's address?"}
	}
	me.Token, me.Author = granted.Token, cmp.Or(granted.Author, me.Author)
	me.Properties = granted.Properties
	return nil
}
