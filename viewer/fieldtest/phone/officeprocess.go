package phone

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"time"

	"headcut/server"
	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// officeVariable, when set, makes the test's process an office; it holds officeSettings.
const officeVariable = "HEADCUT_PHONE_OFFICE"

type officeSettings struct {
	Data, Pages, Computations string // folders
	Listen                    string // host:port
	Door                      string // socket file
	Spoilt                    map[string]Spoil
	Ahead                     time.Duration // of its clock
	Room                      server.Room
}

// held is an entry as the office holds it.
type held struct {
	N         uint64          `json:"n"`
	ArrivedMS int64           `json:"arrivedMS"`
	Raw       json.RawMessage `json:"raw"`
}

// beOffice is the server's process. It prints its address when it answers, and ends when
// its standard input does: a test that dies leaves no server behind.
func beOffice() int {
	if err := serveOffice(); err != nil {
		fmt.Fprintln(os.Stderr, "office:", err)
		return 1
	}
	return 0
}

func serveOffice() error {
	var set officeSettings
	if err := json.Unmarshal([]byte(os.Getenv(officeVariable)), &set); err != nil {
		return err
	}
	log := slog.New(slog.NewTextHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelWarn}))
	register, err := boltstore.Open(filepath.Join(set.Data, "register.bolt"), boltstore.Options{LockTimeout: 10 * time.Second})
	if err != nil {
		return err
	}
	photos, err := boltstore.OpenPhotos(filepath.Join(set.Data, "photos"))
	if err != nil {
		return err
	}
	ctx := context.Background()
	srv, err := server.New(ctx, server.Config{Store: register, Photos: photos, Pages: os.DirFS(set.Pages),
		Computations: os.DirFS(set.Computations), Log: log, Now: func() time.Time { return time.Now().Add(set.Ahead) }})
	if err != nil {
		return err
	}
	srv.KeepRoom(set.Room, nil)
	listener, err := listen("tcp", set.Listen)
	if err != nil {
		return err
	}
	_, port, err := net.SplitHostPort(listener.Addr().String())
	if err != nil {
		return err
	}
	if _, err := srv.Announce(ctx, "http://localhost:"+port); err != nil {
		return err
	}
	_ = os.Remove(set.Door) // of a process that was killed
	door, err := net.Listen("unix", set.Door)
	if err != nil {
		return err
	}
	inner := http.NewServeMux()
	inner.Handle("/office/", srv.Admin())
	inner.HandleFunc("GET /held", func(w http.ResponseWriter, r *http.Request) {
		reply(w, func() (any, error) { return allHeld(r.Context(), register, r.URL.Query().Get("property")) })
	})
	inner.HandleFunc("POST /held", func(w http.ResponseWriter, r *http.Request) {
		reply(w, func() (any, error) { return plant(r, register) })
	})
	inner.HandleFunc("GET /photo/{sha}", func(w http.ResponseWriter, r *http.Request) { sendPhoto(w, r, photos) })
	go http.Serve(door, inner)
	web := &http.Server{Handler: spoiling(srv.Handler(), set.Spoilt), ReadHeaderTimeout: 10 * time.Second}
	go web.Serve(listener)
	fmt.Println(listener.Addr())
	_, _ = io.Copy(io.Discard, os.Stdin)
	last, stop := context.WithTimeout(ctx, 5*time.Second)
	defer stop()
	return errors.Join(srv.Close(last), web.Shutdown(last), register.Close())
}

// Spoil is how an address of the office is spoilt.
type Spoil string

// The ways.
const (
	Gone       Spoil = "gone"        // as if the file were not there
	OtherBytes Spoil = "other bytes" // as a captive portal or a half-copied server gives
	Unheard    Spoil = "unheard"     // done, and the answer lost on the way
)

func spoiling(next http.Handler, spoilt map[string]Spoil) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch spoilt[r.URL.Path] {
		case Gone:
			http.NotFound(w, r)
		case OtherBytes:
			_, _ = io.WriteString(w, "something else") // the phone has gone if this fails
		case Unheard:
			next.ServeHTTP(httptest.NewRecorder(), r)
			panic(http.ErrAbortHandler) // the connection is cut
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// listen waits for the port: after a kill the system may hold it for a moment.
func listen(network, address string) (net.Listener, error) {
	for deadline := time.Now().Add(10 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		l, err := net.Listen(network, address)
		if err == nil || time.Now().After(deadline) {
			return l, err
		}
	}
}

func reply(w http.ResponseWriter, get func() (any, error)) {
	v, err := get()
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	_ = json.NewEncoder(w).Encode(v) // the test has gone if this fails
}

func allHeld(ctx context.Context, s store.Register, property string) ([]held, error) {
	all := []held{}
	for at := (store.Position{}); ; {
		page, next, err := s.RawAfter(ctx, property, at, 1000)
		if err != nil || len(page) == 0 {
			return all, err
		}
		for _, e := range page {
			all = append(all, held{e.N, e.Arrived.UnixMilli(), e.Raw})
		}
		at = next
	}
}

func plant(r *http.Request, s store.Register) ([]store.Receipt, error) {
	var raw []json.RawMessage
	if err := json.NewDecoder(r.Body).Decode(&raw); err != nil {
		return nil, err
	}
	return s.Append(r.Context(), r.URL.Query().Get("property"), raw)
}

func sendPhoto(w http.ResponseWriter, r *http.Request, photos store.Photos) {
	var sha register.Hash
	if err := sha.UnmarshalText([]byte(r.PathValue("sha"))); err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	f, err := photos.Open(r.Context(), sha)
	if err != nil {
		http.Error(w, err.Error(), http.StatusNotFound)
		return
	}
	defer f.Close()
	_, _ = io.Copy(w, f)
}
