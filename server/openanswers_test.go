package server

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"headcut/sync/pace"
	"headcut/sync/store/storetest"
)

// longJPEG is a picture, and behind it more bytes than the system takes to send: 4 MB and 6 MB at most on a
// line within one machine.
var longJPEG = slices.Concat(cameraJPEG, make([]byte, 16<<20))

// begunReading asks for an address, reads the beginning of the answer, and leaves the rest waiting. What rest
// gives is how much of the body came in the end, and whether it was all.
func begunReading(t *testing.T, s *site, path, token string) (rest func() (int64, bool)) {
	t.Helper()
	conn, err := net.Dial("tcp", strings.TrimPrefix(s.web.URL, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	if _, err := fmt.Fprintf(conn, "GET %s HTTP/1.1\r\nHost: here\r\nAuthorization: Bearer %s\r\n\r\n", path, token); err != nil {
		t.Fatal(err)
	}
	_ = conn.SetReadDeadline(time.Now().Add(20 * time.Second))
	res, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil || res.StatusCode != http.StatusOK {
		t.Fatalf("%s: %v, %v", path, res, err)
	}
	if _, err := io.ReadFull(res.Body, make([]byte, 1000)); err != nil {
		t.Fatal(err)
	}
	return func() (int64, bool) {
		_ = conn.SetReadDeadline(time.Now().Add(20 * time.Second))
		n, err := io.Copy(io.Discard, res.Body)
		if err == nil {
			return n + 1000, true
		}
		if timeout, ok := errors.AsType[net.Error](err); ok && timeout.Timeout() {
			t.Errorf("%s: it is not ended", path)
		}
		return n + 1000, false
	}
}

// TestRevokingEndsWhatIsBeingRead: a phone has read the beginning of a photo, and whoever holds a link that of
// its file, when the right to it ends: the rest does not go out. Those beside them that keep their rights get all.
func TestRevokingEndsWhatIsBeingRead(t *testing.T) {
	s := newSite(t)
	thief := s.enrolledAs(t, "d1", "Z. Gone", "Saltbush Flat")
	narrowed := s.enrolledAs(t, "d2", "N. Narrow", "Saltbush Flat", "Ridge Block")
	honest := s.enrolledAs(t, "d3", "A. Field", "Saltbush Flat")
	p, err := s.Property("Saltbush Flat")
	if err != nil {
		t.Fatal(err)
	}
	sha := putBy(t, s, "d3", longJPEG).String()
	maker := &storetest.Maker{Property: p.ID, Device: "d3"}
	entry := maker.Entry("dam-1", nil, "kind", `"check-dam"`, "geometry", `{"type":"Point","coordinates":[147.3,-22.6]}`, "photos", `["`+sha+`"]`)
	if _, err := s.bolt.Append(t.Context(), p.ID, []json.RawMessage{entry}); err != nil {
		t.Fatal(err)
	}
	var hazards []json.RawMessage
	for range 1200 {
		hazards = append(hazards, maker.Entry(fmt.Sprint("hazard-", maker.Seq), nil, "kind", `"hazard"`, "danger", strconv.Quote(strings.Repeat("n", 8000)), "geometry", storetest.Point(147.3, -22.6)))
	}
	for sent := range slices.Chunk(hazards, 200) {
		if _, err := s.bolt.Append(t.Context(), p.ID, sent); err != nil {
			t.Fatal(err)
		}
	}
	var links [2]string
	for i := range links {
		if links[i], err = s.Share(t.Context(), p, "", s.at.Add(time.Hour)); err != nil {
			t.Fatal(err)
		}
	}
	of := func(link string) string { return "/map/" + link + "/works.geojson" }
	reads := map[string]func() (int64, bool){
		"a revoked phone":        begunReading(t, s, "/photos/"+sha, thief.Token),
		"a narrowed phone":       begunReading(t, s, "/photos/"+sha, narrowed.Token),
		"a phone":                begunReading(t, s, "/photos/"+sha, honest.Token),
		"a revoked link":         begunReading(t, s, of(links[0]), ""),
		"a link":                 begunReading(t, s, of(links[1]), ""),
		"a phone, after another": begunReading(t, s, "/photos/"+sha, honest.Token),
	}
	if _, err := s.RevokeDevice(t.Context(), "d1"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Narrow(t.Context(), "d2", p.Name); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Label(t.Context(), "d3", "the tablet"); err != nil { // also a change of the device
		t.Fatal(err)
	}
	if _, err := s.RevokeLink(t.Context(), links[0]); err != nil {
		t.Fatal(err)
	}
	for name, rest := range reads {
		ends := strings.Contains(name, "ed ")
		n, whole := rest()
		if whole == ends || whole && n < 7<<20 || whole && strings.Contains(name, "phone") && n != int64(len(longJPEG)) {
			t.Errorf("%s: %d bytes came, all of it: %t", name, n, whole)
		}
	}
}

// TestAnswersEndBetweenPieces: a right that ends by itself, as a link does with its last day, is asked about
// while an answer goes out, and no refusal is cut short by it.
func TestAnswersEndBetweenPieces(t *testing.T) {
	for pieces, asked := range []int{0, 0, 1, 1} {
		s := &Server{pace: pace.Rule{Silence: time.Nanosecond}}
		line := &pacedLine{ResponseRecorder: httptest.NewRecorder()}
		times := 0
		func() {
			defer func() {
				if cut := recover() == http.ErrAbortHandler; cut != (asked > 0) {
					t.Errorf("%d pieces: cut short is %t", pieces, cut)
				}
			}()
			s.paced(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				s.while(r, "link", func() bool { times++; return false })
				time.Sleep(time.Microsecond)
				_, err := w.Write(bytes.Repeat([]byte("y"), pieces*answerPiece))
				if (err != nil) != (asked > 0) {
					t.Errorf("%d pieces: %v", pieces, err)
				}
			})).ServeHTTP(line, httptest.NewRequest(http.MethodGet, "/", nil))
		}()
		if times != asked || len(line.pieces) > 1 || len(s.answers.all) != 0 {
			t.Errorf("%d pieces: asked %d times, want %d; %d went out", pieces, times, asked, len(line.pieces))
		}
	}
}
