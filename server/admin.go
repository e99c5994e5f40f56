package server

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/url"
	"strings"
	"syscall"

	"headcut/export"
	"headcut/model"
)

// Admin is what the office reaches: the commands typed on the server's own machine. It is
// mounted on a socket file that only the server's user can open, never on the network,
// so whether a server is running or not the commands work in the same way.
func (s *Server) Admin() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /office/properties", answered(s, s.adminProperties))
	mux.HandleFunc("POST /office/property", asked(s, s.adminProperty))
	mux.HandleFunc("GET /office/devices", answered(s, s.adminDevices))
	mux.HandleFunc("GET /office/links", func(w http.ResponseWriter, _ *http.Request) { answerJSON(w, s.Links()) })
	mux.HandleFunc("POST /office/widen", asked(s, s.adminWiden))
	mux.HandleFunc("POST /office/label", asked(s, func(ctx context.Context, l Labelling) (DeviceRow, error) { return s.Label(ctx, l.Device, l.Label) }))
	mux.HandleFunc("POST /office/confirm", asked(s, s.Confirm))
	mux.HandleFunc("GET /office/addresses", s.handleWhereabouts)
	mux.HandleFunc("POST /office/invite", asked(s, s.adminInvite))
	mux.HandleFunc("POST /office/revoke", asked(s, s.adminRevoke))
	mux.HandleFunc("POST /office/share", asked(s, s.adminShare))
	mux.HandleFunc("POST /office/unshare", asked(s, func(ctx context.Context, of Revocation) (LinkRow, error) { return s.RevokeLink(ctx, of.Link) }))
	mux.HandleFunc("POST /office/intake", s.adminIntake)
	mux.HandleFunc("GET /office/intakes", func(w http.ResponseWriter, r *http.Request) { answerJSON(w, s.Intakes(r.Context())) })
	mux.HandleFunc("POST /office/intake/undo", answered(s, s.adminUndoIntake))
	mux.HandleFunc("POST /office/restore", answered(s, func(ctx context.Context, query url.Values) (RestoredFeature, error) {
		return s.RestoreFeature(ctx, query.Get("property"), query.Get("feature"), query.Get("author"))
	}))
	mux.HandleFunc("POST /office/plan", asked(s, s.Plan))
	mux.HandleFunc("GET /office/plans", answered(s, s.PlanRows))
	mux.HandleFunc("GET /office/order", answered(s, s.Order))
	mux.HandleFunc("POST /office/figures", asked(s, s.Figures))
	mux.HandleFunc("POST /office/follow-up", asked(s, s.FollowUp))
	mux.HandleFunc("GET /office/export", s.adminExport)
	mux.HandleFunc("GET /office/snapshot", s.adminSnapshot)
	mux.HandleFunc("GET /office/audit", s.adminAudit)
	return s.caught(routed(mux))
}

// asked reads a request of the office, has it carried out, and answers it.
func asked[Request, Answer any](s *Server, do func(context.Context, Request) (Answer, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var req Request
		if err := readJSON(w, r, bodyLimit, &req); err != nil {
			refuse(w, http.StatusBadRequest, err)
			return
		}
		answer, err := do(r.Context(), req)
		s.answer(w, r, answer, err)
	}
}

// answered has carried out what the query asks for, and answers it.
func answered[Answer any](s *Server, do func(context.Context, url.Values) (Answer, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		answer, err := do(r.Context(), r.URL.Query())
		s.answer(w, r, answer, err)
	}
}

// answer gives an answer of the office, unless it could not be had.
func (s *Server) answer(w http.ResponseWriter, r *http.Request, answer any, err error) {
	if err != nil {
		s.fail(w, r, err)
		return
	}
	answerJSON(w, answer)
}

func (s *Server) adminExport(w http.ResponseWriter, r *http.Request) {
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
	stream := s.featureStream(r.Context(), p.ID)
	s.sendExport(w, r, format, export.Source{Property: p.Name, Features: stream.features(), Figures: stream, History: stream.history, Called: stream.nameOf, ExportedAt: s.now()})
}

// sendExport streams a source. Once bytes have gone out, a failure cuts the connection, so
// that half a file is never taken for a whole one.
func (s *Server) sendExport(w http.ResponseWriter, r *http.Request, format export.Format, source export.Source) {
	w.Header().Set("Content-Type", format.MediaType)
	w.Header().Set("Cache-Control", "no-store")
	out := &begun{Writer: w}
	if err := format.Write(out, source); err != nil {
		if !out.yes {
			s.fail(w, r, err)
			return
		}
		s.log.Error("export was cut short", "property", source.Property, "format", format.Name, "error", err)
		panic(http.ErrAbortHandler)
	}
}

// begun knows whether bytes have gone out.
type begun struct {
	io.Writer
	yes bool
}

func (b *begun) Write(p []byte) (int, error) {
	b.yes = true
	return b.Writer.Write(p)
}

func formatNames() string {
	return strings.Join(model.Each(export.Formats, func(f export.Format) string { return f.Name }), ", ")
}

func (s *Server) adminSnapshot(w http.ResponseWriter, r *http.Request) {
	out := &begun{Writer: w}
	if err := s.store.Snapshot(r.Context(), out); err != nil && !out.yes {
		s.fail(w, r, err)
	} else if err != nil {
		s.log.Error("snapshot was cut short", "error", err)
		panic(http.ErrAbortHandler)
	}
}

// Ask puts a request to Admin over client and decodes its answer into v, unless v is an
// io.Writer, which gets the answer's bytes. What the admin API refuses is a *model.Problem.
func Ask(ctx context.Context, client *http.Client, method, path string, body io.Reader, v any) error {
	req, err := http.NewRequestWithContext(ctx, method, "http://office"+path, body)
	if err != nil {
		return err
	}
	res, err := client.Do(req)
	if err != nil {
		return cutOff(ctx, err)
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
		return cutOff(ctx, err)
	}
	return cutOff(ctx, json.NewDecoder(res.Body).Decode(v))
}

// cutOff says of an answer that did not come, or not wholly, what happened and what to do.
// What the caller stopped or cannot write is returned as it is: a full disk of the caller's ends
// the answer too.
func cutOff(ctx context.Context, err error) error {
	writing, _ := errors.AsType[*fs.PathError](err)
	_, network := errors.AsType[net.Error](err)
	ended := errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, syscall.EPIPE) || errors.Is(err, syscall.ECONNRESET) || errors.Is(err, syscall.ECONNREFUSED)
	switch {
	case err == nil || ctx.Err() != nil:
		return err
	case writing != nil && writing.Op == "write":
		return writing
	case ended || network:
		return NoAnswer
	}
	return err
}

// NoAnswer is the error of [Ask] when the answer did not come, or not wholly.
var NoAnswer = &model.Problem{Reason: "the answer was cut short: the server on this data folder ended, or could not read all of its register",
	Fix: "run the command again: what was done already stays, and nothing is done twice; if it fails again, 'headcut verify' finds what is damaged"}
