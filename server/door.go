package server

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"

	"headcut/export"
	"headcut/model"
	"headcut/sync/intake"
	"headcut/sync/register"
)

// Door is what the office reaches: the commands typed on the server's own machine. It is
// mounted on a socket file that only the server's user can open, never on the network,
// so whether a server is running or not the commands work in the same way.
func (s *Server) Door() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /office/properties", func(w http.ResponseWriter, _ *http.Request) { answerJSON(w, s.Properties()) })
	mux.HandleFunc("GET /office/addresses", s.handleWhereabouts)
	mux.HandleFunc("POST /office/invite", s.doorInvite)
	mux.HandleFunc("POST /office/revoke", s.doorRevoke)
	mux.HandleFunc("POST /office/share", s.doorShare)
	mux.HandleFunc("POST /office/unshare", s.doorUnshare)
	mux.HandleFunc("POST /office/intake", s.doorIntake)
	mux.HandleFunc("GET /office/export", s.doorExport)
	mux.HandleFunc("GET /office/snapshot", s.doorSnapshot)
	return s.caught(mux)
}

// Invite asks for a one-time code.
type Invite struct {
	Property string `json:"property"`
	Author   string `json:"author"`
}

// Invitation answers an Invite.
type Invitation struct {
	Code     string    `json:"code"`
	Until    time.Time `json:"until"`
	Property Property  `json:"property"`
	Made     bool      `json:"made"`              // the property is new
	Address  string    `json:"address,omitempty"` // to open on the phone; none while the server does not know its own
}

func (s *Server) doorInvite(w http.ResponseWriter, r *http.Request) {
	var req Invite
	if err := readJSON(w, r, &req); err != nil {
		refuse(w, http.StatusBadRequest, err)
		return
	}
	p, made, err := s.PropertyOrNew(r.Context(), req.Property)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	code, until, err := s.InviteDevice(r.Context(), req.Author, p)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	answerJSON(w, Invitation{code, until, p, made, s.EnrolAddress(code)})
}

// Revocation names a device or a link to take rights from.
type Revocation struct {
	Device string `json:"device,omitempty"`
	Link   string `json:"link,omitempty"`
}

func (s *Server) doorRevoke(w http.ResponseWriter, r *http.Request) {
	s.doorTake(w, r, func(req Revocation) error { return s.RevokeDevice(r.Context(), req.Device) })
}

func (s *Server) doorUnshare(w http.ResponseWriter, r *http.Request) {
	s.doorTake(w, r, func(req Revocation) error { return s.Unshare(r.Context(), req.Link) })
}

func (s *Server) doorTake(w http.ResponseWriter, r *http.Request, take func(Revocation) error) {
	var req Revocation
	if err := readJSON(w, r, &req); err != nil {
		refuse(w, http.StatusBadRequest, err)
		return
	}
	if err := take(req); err != nil {
		s.fail(w, r, err)
		return
	}
	answerJSON(w, struct{}{})
}

// ShareRequest asks for a landholder's link.
type ShareRequest struct {
	Property string `json:"property"`
	Days     int    `json:"days"`
}

// Shared answers a ShareRequest. The link is shown this once.
type Shared struct {
	Path  string    `json:"path"` // below the server's address
	Until time.Time `json:"until"`
}

func (s *Server) doorShare(w http.ResponseWriter, r *http.Request) {
	var req ShareRequest
	if err := readJSON(w, r, &req); err != nil {
		refuse(w, http.StatusBadRequest, err)
		return
	}
	p, err := s.Property(req.Property)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	until := s.now().AddDate(0, 0, req.Days)
	secret, err := s.Share(r.Context(), p, until)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	answerJSON(w, Shared{"/map/" + secret, until})
}

// Taken answers an intake of one file.
type Taken struct {
	Property Property `json:"property"`
	Made     bool     `json:"made"`
	New      int      `json:"new"`   // entries that were added
	Known    int      `json:"known"` // entries that were here already

	// Of a file that a phone handed over, whose entries name their properties themselves.
	From        string `json:"from,omitempty"` // whose phone
	Device      string `json:"device,omitempty"`
	PhotosNew   int    `json:"photosNew,omitempty"`
	PhotosKnown int    `json:"photosKnown,omitempty"`

	Refused []*model.Problem `json:"refused,omitempty"`
	Notes   []*model.Problem `json:"notes,omitempty"`
}

func (s *Server) doorIntake(w http.ResponseWriter, r *http.Request) {
	name := r.URL.Query().Get("file")
	body, handedOver := recognised(w, r)
	if handedOver {
		taken, err := s.takeHandover(r.Context(), name, body)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		answerJSON(w, taken)
		return
	}
	file, err := intake.Read(name, body)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	p, made, err := s.PropertyOrNew(r.Context(), r.URL.Query().Get("property"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	taken, err := s.takeIn(r.Context(), p, file)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	taken.Property, taken.Made = p, made
	answerJSON(w, taken)
}

// takeInAtOnce is how many entries of a file are appended in one transaction.
const takeInAtOnce = 1000

func (s *Server) takeIn(ctx context.Context, p Property, file intake.File) (Taken, error) {
	taken := Taken{Notes: file.Report}
	entries, err := intake.Entries(file, p.ID, "")
	if err != nil {
		return taken, err
	}
	batch := make([]json.RawMessage, 0, takeInAtOnce)
	for e := range entries {
		raw, err := register.Encode(e)
		if err != nil {
			return taken, err
		}
		if batch = append(batch, raw); len(batch) < takeInAtOnce {
			continue
		}
		if err := s.appendTaken(ctx, p, batch, &taken); err != nil {
			return taken, err
		}
		batch = batch[:0]
	}
	return taken, s.appendTaken(ctx, p, batch, &taken)
}

func (s *Server) appendTaken(ctx context.Context, p Property, batch []json.RawMessage, taken *Taken) error {
	if len(batch) == 0 {
		return nil
	}
	receipts, err := s.store.Append(ctx, p.ID, batch)
	if err != nil {
		return err
	}
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
	return nil
}

func (s *Server) doorExport(w http.ResponseWriter, r *http.Request) {
	p, err := s.Property(r.URL.Query().Get("property"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	name := r.URL.Query().Get("format")
	format, ok := export.Named(name)
	if !ok {
		refuse(w, http.StatusNotFound, &model.Problem{Path: "format", Reason: "there is no format " + quote(name), Fix: "use one of " + formatNames()})
		return
	}
	s.sendExport(w, r, format, export.Source{Property: p.Name, Features: s.features(r.Context(), p.ID)}, p)
}

// sendExport streams a source with the figures of its property. Once bytes have gone out, a
// failure cuts the connection, so that half a file is never taken for a whole one.
func (s *Server) sendExport(w http.ResponseWriter, r *http.Request, format export.Format, source export.Source, p Property) {
	land, err := s.land(r.Context(), p.ID)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	source.Figures = land
	w.Header().Set("Content-Type", format.MediaType)
	w.Header().Set("Cache-Control", "no-store")
	if err := format.Write(w, source); err != nil {
		s.log.Error("export was cut short", "property", p.Name, "format", format.Name, "error", err)
		panic(http.ErrAbortHandler)
	}
}

func formatNames() string {
	names := make([]string, len(export.Formats))
	for i, f := range export.Formats {
		names[i] = f.Name
	}
	return strings.Join(names, ", ")
}

func (s *Server) doorSnapshot(w http.ResponseWriter, r *http.Request) {
	if err := s.store.Snapshot(r.Context(), w); err != nil {
		s.log.Error("snapshot was cut short", "error", err)
		panic(http.ErrAbortHandler)
	}
}

// Ask puts a request to a Door over client and decodes its answer into v, unless v is an
// io.Writer, which gets the answer's bytes. What the door refuses is a *model.Problem.
func Ask(ctx context.Context, client *http.Client, method, path string, body io.Reader, v any) error {
	req, err := http.NewRequestWithContext(ctx, method, "http://office"+path, body)
	if err != nil {
		return err
	}
	res, err := client.Do(req)
	if err != nil {
		return fmt.Errorf("asking the office: %w", err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusOK {
		var p model.Problem
		if err := json.NewDecoder(res.Body).Decode(&p); err != nil || p.Reason == "" {
			return errors.New("the office answered " + res.Status)
		}
		return &p
	}
	if w, ok := v.(io.Writer); ok {
		_, err := io.Copy(w, res.Body)
		return err
	}
	return json.NewDecoder(res.Body).Decode(v)
}
