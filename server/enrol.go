package server

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"headcut/model"
	"headcut/sync/exchange"
)

// CodeLife is how long a one-time code may be used.
const CodeLife = 24 * time.Hour

var (
	deviceID = regexp.MustCompile(`^[a-z0-9-]{1,64}$`)
	ownToken = regexp.MustCompile(`^[a-z0-9]{32,128}$`)
)

// InviteDevice makes a one-time code that enrols one device for these properties.
func (s *Server) InviteDevice(ctx context.Context, author string, properties ...Property) (code string, until time.Time, err error) {
	ids := make([]string, len(properties))
	for i, p := range properties {
		if p.Begun {
			return "", time.Time{}, notAccepted(p)
		}
		ids[i] = p.ID
	}
	code, until = newCode(), s.now().Add(CodeLife)
	s.office.mu.Lock()
	defer s.office.mu.Unlock()
	err = s.office.write(ctx, uuid.NewString(), "office", map[string]any{
		"kind": codeRecord, "codeHash": digest(heard(code)), "author": author,
		"properties": ids, "until": until.UTC().Format(time.RFC3339),
	})
	return code, until, err
}

// enrolRequest redeems a code. A phone makes its token itself and stores it before it asks:
// when the answer is lost, on the way or with the phone's battery, it asks the same again
// and is granted the same. Pages built before that send none, and are given one.
//
// A phone that is enrolled already asks with the id and token that it has: the code then adds
// its properties to those of the device. One whose rights were taken away, or whose id another
// phone uses too, asks as a new device and tells which it was before.
type enrolRequest struct {
	Code   string `json:"code"`
	Device string `json:"device"`
	Author string `json:"author"`
	Token  string `json:"token"`
	Former *struct {
		Device string `json:"device"`
		Token  string `json:"token"`
	} `json:"former,omitempty"`
	agent string // what the browser says it is
}

type enrolAnswer struct {
	Token      string     `json:"token"`
	Device     string     `json:"device"`
	Author     string     `json:"author"` // as asked for, or else as the code was given out
	Properties []Property `json:"properties"`
}

// handleEnrol looks at every code, wrong or right, with the same few look-ups by its hash: so a
// right one is taken however many wrong ones came before it, from the same address too. What
// is held back is what a guesser learns; guessing itself is hopeless, by newCode's 50 bits.
func (s *Server) handleEnrol(w http.ResponseWriter, r *http.Request) {
	var req enrolRequest
	if err := readJSON(w, r, enrolLimit, &req); err != nil {
		refuse(w, http.StatusBadRequest, err)
		return
	}
	req.agent = r.UserAgent()
	answer, problem, err := s.enrol(r.Context(), req)
	switch {
	case err != nil:
		s.fail(w, r, err)
	case problem != nil:
		byAddress, byCode := s.wrongByAddress.spend(client(r), s.now()), s.wrongByCode.spend(digest(heard(req.Code)), s.now())
		if byAddress || byCode {
			w.Header().Set("Retry-After", "60")
			refuse(w, http.StatusTooManyRequests, &model.Problem{Path: problem.Path, Reason: "too many wrong codes were tried", Fix: "check the code with the office; a right one is taken at once"})
			return
		}
		refuse(w, http.StatusForbidden, problem)
	default:
		s.log.Info("device enrolled", "device", answer.Device, "from", s.from(r))
		answerJSON(w, answer)
	}
}

func (s *Server) enrol(ctx context.Context, req enrolRequest) (enrolAnswer, *model.Problem, error) {
	if !deviceID.MatchString(req.Device) {
		return enrolAnswer{}, &model.Problem{Path: "device", Reason: "is not a device id", Fix: "use up to 64 small letters, digits and dashes"}, nil
	}
	if req.Token == "" {
		req.Token = newToken()
	} else if !ownToken.MatchString(req.Token) {
		return enrolAnswer{}, &model.Problem{Path: "token", Reason: "is not a device's secret", Fix: "use 32 to 128 random small letters and digits"}, nil
	}
	o := s.office
	o.mu.Lock()
	defer o.mu.Unlock()
	token := digest(req.Token)
	id := o.find(codeRecord, "codeHash", digest(heard(req.Code)))
	device := o.find(deviceRecord, "device", req.Device)
	until, _ := instant(o.records[id], "until")
	spent := text(o.records[id], "usedOn") != ""
	repeated := spent && text(o.records[id], "usedBy") == req.Device && text(o.records[id], "usedToken") == token
	switch {
	case id == "":
		return enrolAnswer{}, &model.Problem{Path: "code", Reason: "this code is not known", Fix: "type it again as it was given; each works once"}, nil
	case spent && !repeated:
		return enrolAnswer{}, &model.Problem{Path: "code", Reason: "this code has been used", Fix: "ask the office for a new one"}, nil
	case !spent && s.now().After(until):
		return enrolAnswer{}, &model.Problem{Path: "code", Reason: "this code has expired", Fix: "ask the office for a new one"}, nil
	case device != "" && text(o.records[device], "tokenHash") != token:
		return enrolAnswer{}, &model.Problem{Path: "device", Reason: "this device is enrolled already", Fix: "enrol again with a new code"}, nil
	case text(o.records[device], "revokedOn") != "":
		return enrolAnswer{}, &model.Problem{Path: "token", Reason: "this device's rights were taken away", Fix: "ask the office why"}, nil
	}
	author := strings.TrimSpace(strings.ToValidUTF8(req.Author, ""))
	if author == "" {
		author = text(o.records[id], "author")
	}
	added := texts(o.records[id], "properties")
	usedOn, _ := instant(o.records[id], "usedOn")
	if repeated { // it gives back nothing that was taken away since
		added = o.notWithheld(o.records[device], added, usedOn)
	}
	var former map[string]json.RawMessage
	var authors, formers []string
	if req.Former != nil {
		var kept []string
		former, kept = o.formerly(req.Former.Device, req.Former.Token)
		authors = authorsOf(former)
		if former != nil {
			formers = union([]string{req.Former.Device}, formerIDs(former))
		}
		added = append(slices.Clone(added), o.notWithheld(o.records[device], kept, time.Time{})...)
	}
	if !spent {
		spend := map[string]any{"usedOn": s.now().UTC().Format(time.RFC3339), "usedBy": req.Device, "usedToken": token}
		if err := o.write(ctx, id, author, spend); err != nil {
			return enrolAnswer{}, nil, err
		}
	}
	// Also when the server ended between spending the code and this.
	if device != "" {
		if !repeated && text(o.records[device], keptShutOn) != "" { // the office gave it a code
			if err := o.write(ctx, device, "office", map[string]any{keptShutOn: ""}); err != nil {
				return enrolAnswer{}, nil, err
			}
		}
		if err := errors.Join(o.give(ctx, device, added), o.nameAlso(ctx, device, authors, formers)); err != nil {
			return enrolAnswer{}, nil, err
		}
	} else {
		device = uuid.NewString()
		err := o.write(ctx, device, author, map[string]any{
			"kind": deviceRecord, "device": req.Device, "author": author, "properties": union(nil, added), "tokenHash": token,
			"runsOn": systemWords(req.agent), "withheld": o.without(withheldFrom(former), added), "formerAuthors": union(nil, authors), "formerIDs": union(nil, formers),
		})
		if err != nil {
			return enrolAnswer{}, nil, err
		}
	}
	answer := enrolAnswer{Token: req.Token, Device: req.Device, Author: text(o.records[device], "author")}
	for _, property := range o.reach(o.records[device]) {
		answer.Properties = append(answer.Properties, o.property(property))
	}
	return answer, nil, nil
}

// formerly gives the properties that a phone keeps when it is enrolled under a new device id:
// all that its former id had or, when that one's rights were taken away or a restore left it shut, those alone that the
// phone itself began and nobody has accepted yet.
func (o *office) formerly(device, token string) (record map[string]json.RawMessage, properties []string) {
	id := o.find(deviceRecord, "device", device)
	record = o.records[id]
	if id == "" || token == "" || text(record, "tokenHash") != digest(token) {
		return nil, nil
	}
	given := texts(record, "properties")
	if text(record, "revokedOn") == "" && text(record, keptShutOn) == "" {
		return record, given
	}
	return record, slices.DeleteFunc(slices.Clone(given), func(p string) bool { return text(o.records[p], "begunBy") != device || !o.property(p).Begun })
}

// authorsOf are the names that a device's entries may carry: the one it was enrolled under, and
// those of the former ids that it proved to have been, whose unsent entries it took along.
func authorsOf(record map[string]json.RawMessage) []string {
	if record == nil {
		return nil
	}
	return union([]string{text(record, "author")}, texts(record, "formerAuthors"))
}

// formerIDs are the ids that a device proved to have had: what they recorded is its own.
func formerIDs(record map[string]json.RawMessage) []string { return texts(record, "formerIDs") }

// nameAlso adds names to those that a device's entries may carry, and ids to those that it proved
// to have had. The caller holds o.mu.
func (o *office) nameAlso(ctx context.Context, id string, authors, ids []string) error {
	names, former := authorsOf(o.records[id]), formerIDs(o.records[id])
	if len(union(names, authors)) == len(names) && len(union(former, ids)) == len(former) {
		return nil
	}
	return o.write(ctx, id, "office", map[string]any{"formerAuthors": union(names, authors)[1:], "formerIDs": union(former, ids)})
}

// RevokeDevice takes away the rights of a device, given by id, row or who carries it, also in the conversations it has open. What
// it sent stays.
func (s *Server) RevokeDevice(ctx context.Context, which string) (DeviceRow, error) {
	o := s.office
	o.mu.Lock()
	id, err := o.pickDevice(which)
	if err == nil && text(o.records[id], "revokedOn") == "" {
		err = o.write(ctx, id, "office", map[string]any{"revokedOn": o.now().UTC().Format(time.RFC3339)})
	}
	device := text(o.records[id], "device")
	o.mu.Unlock()
	if err != nil {
		return DeviceRow{}, err
	}
	s.exchange.Recheck(device)
	return s.deviceRow(device), nil
}

// admitToSync finds what a device's token allows; a Problem when it allows nothing.
func (s *Server) admitToSync(ctx context.Context, token string) (exchange.Grant, error) {
	o := s.office
	o.mu.Lock()
	defer o.mu.Unlock()
	id := o.find(deviceRecord, "tokenHash", digest(token))
	record := o.records[id]
	switch {
	case token == "" || id == "":
		return exchange.Grant{}, &model.Problem{Path: "token", Reason: "this device is not enrolled here", Fix: "enrol it with a one-time code; its entries are kept"}
	case text(record, "revokedOn") != "":
		return exchange.Grant{}, &model.Problem{Path: "token", Reason: "this device's rights were taken away", Fix: "ask the office why"}
	}
	if since := text(record, keptShutOn); since != "" {
		return exchange.Grant{}, shutProblem(since)
	}
	s.sighted(ctx, id)
	reach := o.reach(record)
	return exchange.Grant{Device: text(record, "device"), Authors: authorsOf(record), Properties: reach, About: o.told(reach)}, nil
}

// admitToPhotos lets every enrolled device send photos; what it may read, photoRights says.
func (s *Server) admitToPhotos(ctx context.Context, token string) (device string, err error) {
	grant, err := s.admitToSync(ctx, token)
	return grant.Device, err
}

func texts(record map[string]json.RawMessage, field string) []string {
	var all []string
	if raw, ok := record[field]; ok {
		_ = json.Unmarshal(raw, &all) // what is not a list reads as none
	}
	return all
}
