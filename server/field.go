package server

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http"

	"headcut/model"
	"headcut/viewer"
)

// The built files of the field page. Its parts begin with fieldPart; the two that are
// served under addresses of their own, which never change, do not carry a hash.
const (
	fieldPage     = "field.html"
	fieldPart     = "field-"
	fieldWorker   = "field-worker.js"
	fieldManifest = "field.webmanifest"
)

// fieldAssets is where the field page finds its parts and the computations. It lies within
// the scope of the page's service worker: browsers let a service worker answer for a
// worker's script, and for what that asks for, only where the script lies in its scope.
const fieldAssets = "/field/assets/"

// notKept refuses what a page asks of its phone alone: ?kept is for the service worker to
// answer from the files it has kept, and shows nothing when a server answers it.
func notKept(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Query().Has("kept") {
			w.Header().Set("Cache-Control", "no-store")
			refuse(w, http.StatusNotFound, &model.Problem{Path: "kept", Reason: "this file is not on the phone", Fix: "open the page where there is signal, until it says that it works without"})
			return
		}
		next(w, r)
	}
}

// shelved is one file that the field page's service worker keeps on the phone, so that the
// page opens with no signal.
type shelved struct {
	URL       string `json:"url"`
	Integrity string `json:"integrity"` // as the W3C's Subresource Integrity writes it
}

// fieldFiles is what the service worker is given: every file that the page can need, and a
// version that is another whenever one of them is.
type fieldFiles struct {
	Version string    `json:"version"`
	Files   []shelved `json:"files"`
}

// handleField gives the officer's page. It holds nothing of any property: what a phone may
// read it asks for with its token.
func (s *Server) handleField(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Security-Policy", viewer.FieldPolicy)
	s.page(w, r, fieldPage, http.StatusOK)
}

func (s *Server) handleFieldManifest(w http.ResponseWriter, r *http.Request) {
	s.fieldFile(w, r, fieldManifest, "application/manifest+json", nil)
}

// handleFieldWorker gives the service worker with the list of files before it: the script
// has other bytes whenever a file has, which is how browsers notice a new version.
func (s *Server) handleFieldWorker(w http.ResponseWriter, r *http.Request) {
	files, err := s.listFieldFiles()
	if err != nil {
		s.fail(w, r, err)
		return
	}
	list, err := json.Marshal(files)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Security-Policy", viewer.FieldPolicy)
	s.fieldFile(w, r, fieldWorker, "text/javascript; charset=utf-8", fmt.Appendf(nil, "self.shelved=%s;\n", list))
}

func (s *Server) fieldFile(w http.ResponseWriter, r *http.Request, name, kind string, before []byte) {
	body, err := fs.ReadFile(s.pages, name)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(append(before, body...)) // the phone has gone if this fails
}

// listFieldFiles lists the page, its parts, and the computations, which are left out when
// this server has none.
func (s *Server) listFieldFiles() (fieldFiles, error) {
	var list fieldFiles
	whole := sha256.New()
	add := func(folder fs.FS, name, url string) error {
		sum, err := sumOf(folder, name)
		if err != nil {
			return err
		}
		fmt.Fprintf(whole, "%s %x\n", url, sum)
		list.Files = append(list.Files, shelved{url, "sha256-" + base64.StdEncoding.EncodeToString(sum[:])})
		return nil
	}
	if err := add(s.pages, fieldPage, "/field/"); err != nil {
		return list, err
	}
	if err := add(s.pages, fieldManifest, "/field/manifest.webmanifest"); err != nil {
		return list, err
	}
	parts, err := fs.Glob(s.pages, fieldPart+"*")
	if err != nil {
		return list, err
	}
	for _, name := range parts { // by name
		if isPacked(name) {
			continue
		}
		if name == fieldWorker {
			sum, err := sumOf(s.pages, name)
			if err != nil {
				return list, err
			}
			fmt.Fprintf(whole, "worker %x\n", sum)
			continue
		}
		if err := add(s.pages, name, fieldAssets+name); err != nil {
			return list, err
		}
	}
	computing, err := fs.Glob(s.computations, "*")
	if err != nil {
		return list, err
	}
	for _, name := range computing {
		if isPacked(name) {
			continue // the browser gets the file that they are made of
		}
		if err := add(s.computations, name, fieldAssets+name); err != nil {
			return list, err
		}
	}
	list.Version = hex.EncodeToString(whole.Sum(nil)[:8])
	return list, nil
}
