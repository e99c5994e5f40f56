package server

import (
	"cmp"
	"context"
	"net/http"
	"regexp"
	"strings"
	"time"

	"headcut/model"
)

// CodeLife is how long a one-time code may be used.
const CodeLife = 24 * time.Hour

var (
	deviceID = regexp.MustCompile(`^[a-z0-9-]{1,64}$`)
	officeID = regexp.MustCompile(`^(copy|intake|office|undo)-`) // of entries that an office writes
	// newID is the id of a new device, which the office cannot take for an option, or for a word such as
	// "all" or a name, as it has a digit. Those that phones make have; older registers have others too.
	newID    = regexp.MustCompile(`^[a-z0-9].*[0-9]|^[0-9]`)
	ownToken = regexp.MustCompile(`^[a-z0-9]{32,128}$`)
)

// InviteDevice makes a one-time code that enrols one device for these properties.
func (s *Server) InviteDevice(ctx context.Context, author string, properties ...Property) (code string, until time.Time, err error) {
	return s.invite(ctx, author, "", properties)
}

// invite makes a one-time code; with again, the id of a device, one that enrols that one again.
func (s *Server) invite(ctx context.Context, author, again string, properties []Property) (code string, until time.Time, err error) {
	ids := make([]string, len(properties))
	for i, p := range properties {
		if p.Begun {
			return "", time.Time{}, notAccepted(p)
		}
		ids[i] = p.ID
	}
	code, until = newCode(), s.now().Add(CodeLife)
	s.office.writing.Lock()
	defer s.office.writing.Unlock()
	err = s.office.write(ctx, officeAuthor, made(&codeRecord{CodeHash: digest(heard(code)), Author: author, Properties: ids, Again: again, Until: second(until)}))
	return code, until, err
}

// enrolRequest redeems a code. A phone makes its token itself and stores it before it asks:
// when the answer is lost, on the way or with the phone's battery, it asks the same again
// and is granted the same. Pages built before that send none, and are given one.
//
// A phone that is enrolled already asks with the id and token that it has: the code then adds
// its properties to those of the device. One whose rights were taken away, or whose id another
// phone uses too, asks as a new device and says which it was before.
//
// All rights come from the code. One that the office made to enrol a device again gives what that
// one had and ends it, whoever redeems it; a phone that says it was another is refused. With any
// other code, what a phone was before moves no right and ends nothing: a copied token is worth
// nothing there.
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
	Author     string     `json:"author"` // whom the office gave the code to; as asked for, where it named nobody
	Properties []Property `json:"properties"`
	ended      []string   // devices that this one was before
}

// handleEnrol looks up every code, right or wrong, so that a right one is always taken, also after many
// wrong ones from the same address. Only the answers to wrong ones are limited: newCode's 50 bits make
// guessing hopeless.
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
	case problem != nil && problem.Path != "code" && s.knows(req.Code):
		refuse(w, http.StatusForbidden, problem) // the code is right, and something else is not
	case problem != nil:
		byAddress, byCode := s.wrongByAddress.spend(client(r), s.now()), s.wrongByCode.spend(digest(heard(req.Code)), s.now())
		byProxy := client(r) == "" && s.wrongByProxy.spend(s.from(r), s.now())
		if byAddress || byCode || byProxy {
			w.Header().Set("Retry-After", "60")
			refuse(w, http.StatusTooManyRequests, &model.Problem{Path: problem.Path, Reason: "too many wrong codes were tried", Fix: "check the code with the office; a right one is taken at once"})
			return
		}
		refuse(w, http.StatusForbidden, problem)
	default:
		s.log.Info("device enrolled", "device", answer.Device, "from", s.from(r))
		for _, former := range answer.ended {
			s.log.Info("device ended, because it was enrolled again", "device", former, "as", answer.Device)
			s.recheck(former)
		}
		answerJSON(w, answer)
	}
}

// knows tells whether a code is one that the office made.
func (s *Server) knows(code string) bool {
	return reading(s, func(o *office) bool { return o.codes.one(bySecret, digest(heard(code))) != nil })
}

func (s *Server) enrol(ctx context.Context, req enrolRequest) (enrolAnswer, *model.Problem, error) {
	if !deviceID.MatchString(req.Device) || officeID.MatchString(req.Device) {
		return enrolAnswer{}, &model.Problem{Path: "device", Reason: "is not a device id", Fix: "use up to 64 small letters, digits and dashes"}, nil
	}
	if numberAlone(req.Device) {
		return enrolAnswer{}, rowLike("device"), nil
	}
	if req.Token == "" {
		req.Token = newToken()
	} else if !ownToken.MatchString(req.Token) {
		return enrolAnswer{}, &model.Problem{Path: "token", Reason: "is not a device's secret", Fix: "use 32 to 128 random small letters and digits"}, nil
	}
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	token := digest(req.Token)
	holder := o.devices.one(byToken, token)
	code := o.codes.one(bySecret, digest(heard(req.Code)))
	d := o.devices.one(byDevice, req.Device)
	switch {
	case code == nil:
		return enrolAnswer{}, &model.Problem{Path: "code", Reason: "this code is not known", Fix: "type it again as it was given; each works once"}, nil
	case !code.UsedOn.IsZero() && !code.redeemedBy(req.Device, token):
		return enrolAnswer{}, &model.Problem{Path: "code", Reason: "this code has been used", Fix: "ask the office for a new one"}, nil
	case code.UsedOn.IsZero() && !code.EndedOn.IsZero():
		return enrolAnswer{}, &model.Problem{Path: "code", Reason: "this code has ended: the phone that it was for was enrolled again by another code, or lost its rights", Fix: "ask the office for a new one"}, nil
	case code.UsedOn.IsZero() && s.now().After(code.Until.Time):
		return enrolAnswer{}, &model.Problem{Path: "code", Reason: "this code has expired", Fix: "ask the office for a new one"}, nil
	case d == nil && !newID.MatchString(req.Device):
		return enrolAnswer{}, &model.Problem{Path: "device", Reason: "could be taken for an option or a word by the office", Fix: "begin the id with a letter or digit, and put a digit into it"}, nil
	case holder != nil && holder != d:
		return enrolAnswer{}, &model.Problem{Path: "token", Reason: "another phone has this secret", Fix: "make a new one, at random"}, nil
	case d != nil && d.TokenHash != token:
		return enrolAnswer{}, &model.Problem{Path: "device", Reason: "this device is enrolled already", Fix: "enrol again with a new code"}, nil
	case d != nil && !d.RevokedOn.IsZero():
		return enrolAnswer{}, &model.Problem{Path: "token", Reason: "this device's rights were taken away", Fix: "ask the office why"}, nil
	}
	author := cmp.Or(code.Author, strings.TrimSpace(strings.ToValidUTF8(req.Author, "")))
	var changes []change
	var ended []string
	switch {
	case !code.UsedOn.IsZero(): // it gives back nothing that was taken away since
		if d != nil {
			changes = append(changes, changed(d, func(d *deviceRecord) { o.give(d, o.notWithheld(d, code.Properties, code.UsedOn.Time)) }))
			break
		}
		fallthrough // a server of before ended between spending the code and this
	case code.Again == "":
		changes = append(changes, o.enrolled(code, req, author, d))
	default:
		was := o.devices.one(byDevice, code.Again)
		if problem := o.mayFollow(was, d, req); problem != nil {
			return enrolAnswer{}, problem, nil
		}
		changes = append(changes, o.follow(was, code, req, author)...)
		ended = []string{was.Device}
	}
	if code.UsedOn.IsZero() {
		changes = append(changes, changed(code, func(c *codeRecord) {
			c.UsedOn, c.UsedBy, c.UsedToken = second(s.now()), req.Device, token
		}))
	}
	if err := o.write(ctx, author, changes...); err != nil {
		return enrolAnswer{}, nil, err
	}
	d = o.devices.one(byDevice, req.Device)
	return enrolAnswer{Token: req.Token, Device: req.Device, Author: d.Author, Properties: o.propertiesNamed(o.reach(d)), ended: ended}, nil, nil
}

// redeemedBy reports whether a code was used by a device with this token, hashed.
func (c *codeRecord) redeemedBy(device, token string) bool {
	return !c.UsedOn.IsZero() && c.UsedBy == device && c.UsedToken == token
}

// enrolled is the device with what a code gives it; d when it is enrolled already.
func (o *office) enrolled(code *codeRecord, req enrolRequest, author string, d *deviceRecord) change {
	var formerIDs []string
	if former := o.proven(req); former != nil && former.FollowedBy == "" {
		formerIDs = idsOf(former)
	}
	if d == nil {
		return made(&deviceRecord{Device: req.Device, Author: author, Properties: union(nil, code.Properties), TokenHash: digest(req.Token),
			RunsOn: systemWords(req.agent), FormerIDs: formerIDs})
	}
	return changed(d, func(d *deviceRecord) {
		d.KeptShutOn = moment{} // the office gave it a code
		o.give(d, code.Properties)
		d.FormerIDs = union(d.FormerIDs, formerIDs)
	})
}

// proven is the device that a phone says it was before, when it has the token of that one.
func (o *office) proven(req enrolRequest) *deviceRecord {
	if req.Former == nil || req.Former.Token == "" || req.Former.Device == req.Device {
		return nil
	}
	if was := o.devices.one(byDevice, req.Former.Device); was != nil && was.TokenHash == digest(req.Former.Token) {
		return was
	}
	return nil
}

// authorsOf are the names that a device's entries may carry: the one it was enrolled under, and
// those of the former ids that it proved to have been, whose unsent entries it took along.
func authorsOf(d *deviceRecord) []string {
	if d == nil {
		return nil
	}
	return union([]string{d.Author}, d.FormerAuthors)
}

// idsOf are the ids that a device proved to have: its own, and its former ones. The photos of what was
// written under them are its own.
func idsOf(d *deviceRecord) []string { return union([]string{d.Device}, d.FormerIDs) }
