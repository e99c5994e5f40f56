package server

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http"
	"slices"
	"strings"

	"headcut/model"
	"headcut/viewer"
)

// devicePage is a page that is a device of an officer, by its name: it keeps a register of its
// own and works with no signal. All of it lies below its address, within the scope of its
// service worker: browsers let a service worker answer for a worker's script, and for what
// that asks for, only where the script lies in its scope.
type devicePage string

// The officer's page on a phone, and the one on a computer.
const (
	phonePage devicePage = "field"
	deskPage  devicePage = "desk"
)

var devicePages = []devicePage{phonePage, deskPage}

func (p devicePage) address() string { return "/" + string(p) + "/" }

// assets is where the page finds its parts and the computations.
func (p devicePage) assets() string { return p.address() + "assets/" }

// The built files of the page. Its parts begin with part; the two that are served under
// addresses of their own, which never change, do not carry a hash.
func (p devicePage) html() string     { return string(p) + ".html" }
func (p devicePage) part() string     { return string(p) + "-" }
func (p devicePage) worker() string   { return string(p) + "-worker.js" }
func (p devicePage) manifest() string { return string(p) + ".webmanifest" }

// changesInPlace reports whether a built file has another content under the same name one day.
func changesInPlace(name string) bool {
	return strings.HasSuffix(name, ".html") || slices.ContainsFunc(devicePages, func(p devicePage) bool { return name == p.worker() || name == p.manifest() })
}

// handleDevicePages adds the routes of the officer's pages.
func (s *Server) handleDevicePages(mux *http.ServeMux) {
	for _, p := range devicePages {
		at := "GET " + p.address()
		mux.Handle(strings.TrimSuffix(at, "/"), http.RedirectHandler(p.address(), http.StatusMovedPermanently))
		mux.HandleFunc(at+"{$}", notKept(zipped(s.handleDevicePage(p))))
		mux.HandleFunc(at+"worker.js", zipped(s.handleServiceWorker(p)))
		mux.HandleFunc(at+"manifest.webmanifest", s.handleManifest(p))
		mux.HandleFunc(at+"addresses.json", s.handleWhereabouts)
		mux.HandleFunc(at+"assets/{name}", notKept(s.handleAsset))
	}
}

// notKept refuses what a page asks of its phone alone: ?kept is for the service worker to
// answer from the files it has kept, and shows nothing when a server answers it.
func notKept(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Query().Has("kept") {
			w.Header().Set("Cache-Control", "no-store")
			refuse(w, http.StatusNotFound, &model.Problem{Path: "kept", Reason: "this file is not on this device", Fix: "open the page where there is signal, until it says that it works without"})
			return
		}
		next(w, r)
	}
}

// keptFile is one file that a page's service worker keeps on the device, so that the page opens
// with no signal.
type keptFile struct {
	URL       string `json:"url"`
	Integrity string `json:"integrity"` // as the W3C's Subresource Integrity writes it
}

// keptFiles is what the service worker is given: every file that the page can need, and a
// version that is another whenever one of them is.
type keptFiles struct {
	Version string     `json:"version"`
	Files   []keptFile `json:"files"`
}

// handleDevicePage gives an officer's page. It holds nothing of any property: what a device may
// read it asks for with its token.
func (s *Server) handleDevicePage(p devicePage) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", viewer.DevicePolicy)
		s.page(w, r, p.html(), http.StatusOK)
	}
}

func (s *Server) handleManifest(p devicePage) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		s.changingFile(w, r, p.manifest(), "application/manifest+json", nil)
	}
}

// handleServiceWorker gives the service worker with the list of files before it: the script
// has other bytes whenever a file has, which is how browsers notice a new version.
func (s *Server) handleServiceWorker(p devicePage) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		files, err := s.keptFiles(p)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		list, err := json.Marshal(files)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		w.Header().Set("Content-Security-Policy", viewer.DevicePolicy)
		s.changingFile(w, r, p.worker(), "text/javascript; charset=utf-8", fmt.Appendf(nil, "self.shelved=%s;\n", list))
	}
}

func (s *Server) changingFile(w http.ResponseWriter, r *http.Request, name, kind string, before []byte) {
	body, err := fs.ReadFile(s.pages, name)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(append(before, body...)) // the phone has gone if this fails
}

// keptFiles lists a page, its parts, and the computations, which are left out when this server has
// none. Browsers keep the service worker themselves: it counts only in the version.
func (s *Server) keptFiles(p devicePage) (list keptFiles, err error) {
	whole := sha256.New()
	parts, _ := fs.Glob(s.pages, p.part()+"*") // errs for bad patterns alone
	computing, _ := fs.Glob(s.computations, "*")
	for _, from := range []struct {
		files *builtFiles
		names []string
	}{{s.pages, append([]string{p.html(), p.manifest()}, parts...)}, {s.computations, computing}} {
		for _, name := range from.names {
			if isPacked(name) { // the browser gets the file that it is made of
				continue
			}
			sum, err := from.files.sumOf(name)
			if err != nil {
				return list, err
			}
			url := p.assets() + name
			switch name {
			case p.html():
				url = p.address()
			case p.manifest():
				url = p.address() + "manifest.webmanifest"
			case p.worker():
				fmt.Fprintf(whole, "worker %x\n", sum)
				continue
			}
			fmt.Fprintf(whole, "%s %x\n", url, sum)
			list.Files = append(list.Files, keptFile{url, "sha256-" + base64.StdEncoding.EncodeToString(sum[:])})
		}
	}
	list.Version = hex.EncodeToString(whole.Sum(nil)[:8])
	return list, nil
}
