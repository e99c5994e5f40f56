package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"log/slog"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"
)

// listener hears each line of a log.
type listener func(line []byte)

func (l listener) Write(line []byte) (int, error) { l(line); return len(line), nil }

// A renewed certificate is served without a restart: when its files change, and at once on
// SIGHUP, which ends nothing. Files that are half written leave the one before them.
func TestCertificateIsReadAgain(t *testing.T) {
	own := authority(t, "The office's own root", nil)
	first, second, third := forServer(t, &own, lanName), forServer(t, &own, lanName), forServer(t, &own, lanName)
	cert, key := files(t, first)
	refused := make(chan struct{}, 1)
	log := slog.New(slog.NewTextHandler(listener(func(line []byte) {
		if bytes.Contains(line, []byte("cannot be used")) {
			select {
			case refused <- struct{}{}:
			default: // once is enough
			}
		}
	}), nil))
	d, err := openDataDir(t.Context(), t.TempDir(), log)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	address, ended := make(chan string, 1), make(chan error, 1)
	where := &netFlags{listen: "127.0.0.1:0", cert: cert, key: key}
	door, known, err := where.open(log)
	if err != nil {
		t.Fatal(err)
	}
	go func() {
		ended <- serve(ctx, d, where, door, known, log, func(at string) error {
			address <- at
			return nil
		})
	}()
	at := strings.TrimPrefix(<-address, "https://")
	roots := x509.NewCertPool()
	roots.AddCert(own.certificate)
	served := func() []byte {
		conn, err := tls.Dial("tcp", at, &tls.Config{RootCAs: roots, ServerName: lanName})
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		return conn.ConnectionState().PeerCertificates[0].Raw
	}
	becomes := func(want issued, what string) {
		t.Helper()
		for deadline := time.Now().Add(30 * time.Second); string(served()) != string(want.raw); time.Sleep(50 * time.Millisecond) {
			if time.Now().After(deadline) {
				t.Fatalf("%s: the certificate before it is still served", what)
			}
		}
	}
	becomes(first, "at the start")
	write := func(of issued) {
		newCert, newKey := files(t, of)
		for from, to := range map[string]string{newCert: cert, newKey: key} {
			if err := os.Rename(from, to); err != nil {
				t.Fatal(err)
			}
		}
	}
	write(second)
	becomes(second, "files that changed")
	if err := os.WriteFile(cert, []byte("half"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Kill(os.Getpid(), syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	select {
	case <-refused:
	case <-time.After(time.Minute):
		t.Fatal("files that are no certificate are not complained of")
	}
	becomes(second, "files that are no certificate")
	write(third)
	if err := syscall.Kill(os.Getpid(), syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	becomes(third, "SIGHUP")
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}
