package device_test

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/model"
	"headcut/sync/device"
	"headcut/sync/exchange"
	"headcut/sync/photo"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

const (
	creek = "creek" // the property of most tests
	ridge = "ridge"
)

// office is a whole small server: store, exchange, enrolment and photos. Tokens are the
// device's id with a prefix, so that they outlive restarts and restores.
type office struct {
	store    *boltstore.Store
	photos   store.Photos
	exchange *exchange.Exchange
	http     *http.Server
	url      string
}

type officeOptions struct {
	listen     string // "" for any free port
	properties []string
	timing     exchange.Timing
	store      boltstore.Options
	logger     *slog.Logger
}

func openOffice(dir string, o officeOptions) (*office, error) {
	if o.listen == "" {
		o.listen = "127.0.0.1:0"
	}
	if o.properties == nil {
		o.properties = []string{creek, ridge}
	}
	if o.logger == nil {
		o.logger = slog.New(slog.DiscardHandler)
	}
	s, err := boltstore.Open(filepath.Join(dir, "register.db"), o.store)
	if err != nil {
		return nil, err
	}
	photos, err := boltstore.OpenPhotos(filepath.Join(dir, "photos"))
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	admit := func(_ context.Context, token string) (exchange.Grant, error) {
		id, ok := strings.CutPrefix(token, "token-of-")
		if !ok {
			return exchange.Grant{}, &model.Problem{Reason: "is not known here", Fix: "enrol the device"}
		}
		return exchange.Grant{Device: id, Authors: []string{"an officer"}, Properties: o.properties}, nil
	}
	x := exchange.New(exchange.Options{Store: s, Admit: admit, Logger: o.logger, Timing: o.timing})
	mux := http.NewServeMux()
	mux.Handle("GET /sync", x)
	mux.Handle("/photos/{sha}", &photo.Handler{Photos: photos, Logger: o.logger, Admit: func(ctx context.Context, token string) (string, error) {
		grant, err := admit(ctx, token)
		return grant.Device, err
	}})
	mux.HandleFunc("POST /enrol", func(w http.ResponseWriter, r *http.Request) { enrolHere(w, r, o.properties) })
	listener, err := listen(o.listen)
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	of := &office{store: s, photos: photos, exchange: x, http: &http.Server{Addr: listener.Addr().String(), Handler: mux, ErrorLog: slog.NewLogLogger(o.logger.Handler(), slog.LevelDebug)}, url: "http://" + listener.Addr().String()}
	go of.http.Serve(listener) // until it is closed
	return of, nil
}

// listen takes an address that a process just killed may still hold for an instant.
func listen(address string) (net.Listener, error) {
	for try := 0; ; try++ {
		l, err := net.Listen("tcp", address)
		if err == nil || try == 200 {
			return l, err
		}
		time.Sleep(10 * time.Millisecond)
	}
}

func enrolHere(w http.ResponseWriter, r *http.Request, properties []string) {
	var asks struct{ Code, Device, Author string }
	if json.NewDecoder(r.Body).Decode(&asks) != nil || asks.Code != "open" {
		w.WriteHeader(http.StatusForbidden)
		_ = json.NewEncoder(w).Encode(model.Problem{Path: "code", Reason: "is not one of ours", Fix: "ask the office for another"})
		return
	}
	granted := map[string]any{"token": "token-of-" + asks.Device, "device": asks.Device}
	var list []device.Property
	for _, id := range properties {
		list = append(list, device.Property{ID: id, Name: id})
	}
	granted["properties"] = list
	_ = json.NewEncoder(w).Encode(granted)
}

// close stops the office as a good server does.
func (o *office) close() error {
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	err := o.exchange.Stop(ctx)
	return errors.Join(err, o.http.Close(), o.store.Close())
}

func startOffice(t testing.TB, o officeOptions) *office {
	t.Helper()
	of, err := openOffice(t.TempDir(), o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = of.close() })
	return of
}
