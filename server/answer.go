package server

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"

	"headcut/model"
	"headcut/sync/register"
	"headcut/sync/store"
)

// refuse answers with what is wrong and what to do, as a model.Problem in JSON.
func refuse(w http.ResponseWriter, status int, problem error) {
	p, ok := errors.AsType[*model.Problem](problem)
	if !ok {
		p = &model.Problem{Reason: problem.Error()}
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(p) // the client has gone if this fails
}

// fail answers an error that is not the asker's fault, and logs it.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	if strings.Contains(r.Pattern, " /office/") {
		if p := s.officeFault(err); p != nil {
			s.log.Error("request failed", "method", r.Method, "route", r.Pattern, "error", err)
			refuse(w, http.StatusInternalServerError, p)
			return
		}
	}
	if errors.Is(err, store.ErrFull) {
		refuse(w, http.StatusInsufficientStorage, err)
		return
	}
	if backup, ok := errors.AsType[*store.IsBackup](err); ok {
		err = backup.Problem()
	} else if errors.Is(err, store.ErrReadOnly) {
		err = &model.Problem{Reason: store.ErrReadOnly.Error(), Fix: "copy the folder to a disk that you may write to; 'headcut restore' makes a data folder of a backup"}
	}
	if p, ok := errors.AsType[*model.Problem](err); ok {
		refuse(w, http.StatusUnprocessableEntity, p)
		return
	}
	s.log.Error("request failed", "method", r.Method, "route", r.Pattern, "error", err)
	refuse(w, http.StatusInternalServerError, errInternal)
}

// officeFault words what is wrong with the data folder, which the office can repair. Nil for
// other errors.
func (s *Server) officeFault(err error) *model.Problem {
	_, known := errors.AsType[*model.Problem](err)
	switch {
	case known || errors.Is(err, store.ErrReadOnly):
		return nil
	case errors.Is(err, store.ErrDamaged):
		return DamagedRegister(s.folder, err)
	case errors.Is(err, store.ErrStopped):
		return &model.Problem{Reason: "the register in " + s.folder + " takes nothing more since writing to it failed (" + err.Error() + ")",
			Fix: "see whether its disk is full or fails, stop the server, run 'headcut verify --data " + s.folder + "', and start it again"}
	case errors.Is(err, store.ErrFull):
		return &model.Problem{Reason: "the disk that " + s.folder + " is on is full: nothing was changed", Fix: "make room on it and run the command again"}
	}
	return &model.Problem{Reason: "the server on " + s.folder + " could not do this", Fix: "run the command again; if it fails again, 'headcut verify --data " + s.folder + "' tells whether the register is damaged, and the log of the server says more"}
}

// DamagedRegister words a store.ErrDamaged of the register in a folder: the way out, and at the
// end of the reason what was found.
func DamagedRegister(folder string, err error) *model.Problem {
	why := strings.TrimPrefix(err.Error(), store.ErrDamaged.Error()+": ")
	return &model.Problem{Reason: "the register in " + folder + " is damaged (" + why + ")",
		Fix: "stop the server on it, if one runs, and keep the folder. Restore the last good backup: 'headcut restore --from BACKUP --data NEW --replaces " + folder +
			"'. Without one, 'headcut restore --salvage --from " + folder + " --data NEW' copies what can still be read. If this is a backup, make another in a new folder"}
}

func answerJSON(w http.ResponseWriter, v any) {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	_ = json.NewEncoder(w).Encode(v) // the client has gone if this fails
}

// mostDropped is how much is read for nothing of a body that is too long: who sends it whole before reading would
// otherwise find the connection broken, and no answer.
const mostDropped = 64 << 20

func dropRest(r *http.Request) { _, _ = io.CopyN(io.Discard, r.Body, mostDropped) }

// readJSON reads a small JSON body whole; a Problem when it is not what v is.
func readJSON(w http.ResponseWriter, r *http.Request, limit int64, v any) error {
	raw, err := io.ReadAll(http.MaxBytesReader(w, r.Body, limit))
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err == nil {
		err = d.Decode(v)
	}
	if err != nil {
		if long, ok := errors.AsType[*http.MaxBytesError](err); ok {
			dropRest(r)
			return &model.Problem{Reason: fmt.Sprintf("the request is longer than %d bytes", long.Limit), Fix: "send less"}
		}
		path, why := model.JSONWords(err)
		return &model.Problem{Path: path, Reason: "the request is not the JSON that was expected: " + why, Fix: "send one object with the members that this address takes"}
	}
	if _, err := d.Token(); err != io.EOF {
		return &model.Problem{Reason: "the request has something after its JSON", Fix: "send one object"}
	}
	if p := register.ReadAlike(raw); p != nil { // another reader, such as a proxy's log, may take it for something else
		return p
	}
	return nil
}
