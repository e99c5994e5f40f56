package server

import (
	"bytes"
	"compress/gzip"
	"encoding/hex"
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"
	"sync"
)

// packings are the ways in which built files were compressed when they were built, the
// smallest first, with the ending of the compressed file's name.
var packings = []struct{ name, ending string }{{"br", ".br"}, {"gzip", ".gz"}}

// isPacked reports whether a built file is the compressed copy of another: browsers are
// given it under the name of what it is made of.
func isPacked(name string) bool {
	return strings.HasSuffix(name, packings[0].ending) || strings.HasSuffix(name, packings[1].ending)
}

// sendBuilt gives a built file, compressed as the browser likes. The type and how long to
// keep it are in the header already.
func (s *Server) sendBuilt(w http.ResponseWriter, r *http.Request, folder *builtFiles, name string) {
	w.Header().Set("Vary", "Accept-Encoding")
	coding := ""
	for _, p := range packings {
		if accepts(r, p.name) && folder.has(name+p.ending) {
			name, coding = name+p.ending, p.name
			break
		}
	}
	content, err := folder.ReadFile(name)
	sum, unknown := folder.sumOf(name)
	if err = errors.Join(err, unknown); err != nil {
		s.fail(w, r, err)
		return
	}
	sendTagged(w, r, hex.EncodeToString(sum[:8]), coding, len(content), bytes.NewReader(content))
}

// sendTagged answers with so many bytes, in a coding unless that is "", or says that what the browser
// has still holds. Each coding is another representation, so each has an entity tag of its own
// (RFC 9110, 8.8.3.3).
func sendTagged(w http.ResponseWriter, r *http.Request, tag, coding string, length int, content io.Reader) {
	h := w.Header()
	tag = strconv.Quote(tag)
	h.Set("ETag", tag)
	if namesTag(r.Header.Values("If-None-Match"), tag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	if coding != "" {
		h.Set("Content-Encoding", coding)
	}
	h.Set("Content-Length", strconv.Itoa(length))
	if r.Method != http.MethodHead {
		_, _ = io.Copy(w, content) // the browser has gone if this fails
	}
}

// namesTag reports whether a list header names an entity tag, weakly or not.
func namesTag(lines []string, tag string) bool {
	for _, one := range strings.Split(strings.Join(lines, ","), ",") {
		if one = strings.TrimSpace(one); one == "*" || strings.TrimPrefix(one, "W/") == tag {
			return true
		}
	}
	return false
}

// accepts reports whether a request's Accept-Encoding names a coding and does not refuse it.
func accepts(r *http.Request, coding string) bool {
	for _, one := range strings.Split(strings.Join(r.Header.Values("Accept-Encoding"), ","), ",") {
		name, weight, _ := strings.Cut(strings.ReplaceAll(one, " ", ""), ";")
		if strings.EqualFold(name, coding) {
			return strings.Trim(strings.TrimPrefix(weight, "q="), "0.") != "" || weight == ""
		}
	}
	return false
}

// zippers are kept for the next answer: one takes 800 KB to make.
var zippers = sync.Pool{New: func() any { return gzip.NewWriter(nil) }}

// zipped compresses what a handler writes while it is written, for whoever takes gzip. It
// is for answers that are made on demand: pages, data and exports.
func zipped(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Add("Vary", "Accept-Encoding")
		if !accepts(r, "gzip") || r.Method == http.MethodHead {
			next(w, r)
			return
		}
		z := &zippedAnswer{ResponseWriter: w}
		next(z, r)
		z.finish() // not after a panic: an answer cut short must look cut short
	}
}

// zippedAnswer begins to compress with the first bytes, unless the answer is packed already.
type zippedAnswer struct {
	http.ResponseWriter
	zip     *gzip.Writer
	started bool
}

func (z *zippedAnswer) WriteHeader(status int) {
	if h := z.Header(); !z.started && h.Get("Content-Encoding") == "" && status != http.StatusNotModified && status != http.StatusNoContent {
		h.Del("Content-Length")
		h.Set("Content-Encoding", "gzip")
		z.zip = zippers.Get().(*gzip.Writer)
		z.zip.Reset(z.ResponseWriter)
	}
	z.started = true
	z.ResponseWriter.WriteHeader(status)
}

func (z *zippedAnswer) Write(b []byte) (int, error) {
	if !z.started {
		z.WriteHeader(http.StatusOK)
	}
	if z.zip == nil {
		return z.ResponseWriter.Write(b)
	}
	return z.zip.Write(b)
}

func (z *zippedAnswer) finish() {
	if z.zip == nil {
		return
	}
	_ = z.zip.Close() // the reader has gone if this fails
	zippers.Put(z.zip)
}
