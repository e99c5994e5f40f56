package main

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"io"
	"log/slog"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// issued is a certificate with its key, and how others are signed with it.
type issued struct {
	certificate *x509.Certificate
	raw         []byte
	key         *ecdsa.PrivateKey
}

// issue makes a certificate; by nil it signs itself.
func issue(t *testing.T, by *issued, template x509.Certificate) issued {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	if template.NotAfter.IsZero() {
		template.NotBefore, template.NotAfter = time.Now().Add(-time.Hour), time.Now().Add(time.Hour)
	}
	template.BasicConstraintsValid = true
	parent, signer := &template, key
	if by != nil {
		parent, signer = by.certificate, by.key
	}
	raw, err := x509.CreateCertificate(rand.Reader, &template, parent, &key.PublicKey, signer)
	if err != nil {
		t.Fatal(err)
	}
	certificate, err := x509.ParseCertificate(raw)
	if err != nil {
		t.Fatal(err)
	}
	return issued{certificate, raw, key}
}

// files writes a chain, the server's own first, and the key, as PEM.
func files(t *testing.T, chain ...issued) (cert, key string) {
	t.Helper()
	dir := t.TempDir()
	var text []byte
	for _, c := range chain {
		text = append(text, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: c.raw})...)
	}
	private, err := x509.MarshalPKCS8PrivateKey(chain[0].key)
	if err != nil {
		t.Fatal(err)
	}
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	for file, body := range map[string][]byte{cert: text, key: pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: private})} {
		if err := os.WriteFile(file, body, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return cert, key
}

const lanName = "register.lan.example.org"

func authority(t *testing.T, name string, by *issued) issued {
	t.Helper()
	return issue(t, by, x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: name}, IsCA: true, KeyUsage: x509.KeyUsageCertSign})
}

func forServer(t *testing.T, by *issued, name string) issued {
	t.Helper()
	return issue(t, by, x509.Certificate{SerialNumber: big.NewInt(2), Subject: pkix.Name{CommonName: name}, DNSNames: []string{name},
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}})
}

// The two ways in which a server in an office's network has a secure name: a given
// certificate, which comes with the chain of a public authority, and one of the office's
// own authority, whose root is installed on each phone. A certificate that signs itself is
// neither: phones do not run a service worker under it, whatever was clicked.
func TestServeUnderBothKindsOfCertificate(t *testing.T) {
	public := authority(t, "A public root", nil)
	between := authority(t, "One that it trusts", &public)
	own := authority(t, "The office's own root", nil)
	given, forOwn := forServer(t, &between, lanName), forServer(t, &own, lanName)
	lone := forServer(t, nil, lanName)
	for _, c := range []struct {
		name   string
		chain  []issued
		trusts issued // what the phone has as a root
		host   string
		want   string // part of the phone's error, "" when it connects
	}{
		{"given-with-its-chain", []issued{given, between}, public, lanName, ""},
		{"given-without-its-chain", []issued{given}, public, lanName, "unknown authority"},
		{"of-the-offices-own-root", []issued{forOwn}, own, lanName, ""},
		{"own-root-not-on-the-phone", []issued{forOwn}, public, lanName, "unknown authority"},
		{"signed-by-itself", []issued{lone}, public, lanName, "unknown authority"},
		{"another-name", []issued{forOwn}, own, "other.example.org", "not other.example.org"},
	} {
		t.Run(c.name, func(t *testing.T) {
			cert, key := files(t, c.chain...)
			at := servingAt(t, &netFlags{listen: "127.0.0.1:0", cert: cert, key: key, address: "https://" + lanName})
			roots := x509.NewCertPool()
			roots.AddCert(c.trusts.certificate)
			client := &http.Client{Transport: &http.Transport{
				TLSClientConfig: &tls.Config{RootCAs: roots},
				DialContext: func(ctx context.Context, network, _ string) (net.Conn, error) {
					var d net.Dialer
					return d.DialContext(ctx, network, at)
				},
			}}
			defer client.CloseIdleConnections()
			res, err := client.Get("https://" + c.host + "/field/")
			if c.want != "" {
				if err == nil || !strings.Contains(err.Error(), c.want) {
					t.Errorf("got %v, want an error with %q", err, c.want)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			defer res.Body.Close()
			page, err := io.ReadAll(res.Body)
			if err != nil || res.StatusCode != http.StatusOK || !strings.Contains(string(page), "manifest.webmanifest") {
				t.Errorf("the field page: %s (%v) %.100s", res.Status, err, page)
			}
			if res.Header.Get("Strict-Transport-Security") != "max-age=31536000; includeSubDomains" {
				t.Error("a secure address does not say that it stays secure")
			}
		})
	}
}

// What browsers will refuse in a certificate is said when the server starts, with what to do.
func TestCertificateIsComparedWithTheAddress(t *testing.T) {
	const hour = time.Hour
	own := authority(t, "The office's own root", nil)
	valid := func(from, to time.Duration, names ...string) issued {
		return issue(t, &own, x509.Certificate{SerialNumber: big.NewInt(3), DNSNames: names, IPAddresses: []net.IP{net.IPv4(192, 0, 2, 7)},
			NotBefore: time.Now().Add(from), NotAfter: time.Now().Add(to)})
	}
	for _, c := range []struct {
		name        string
		certificate issued
		address     string
		warns       []string // parts of what the log says, nil when it says nothing
		refused     string   // part of the refusal
	}{
		{"its-name", valid(-hour, hour, lanName), "https://" + lanName, nil, ""},
		{"its-name-and-port", valid(-hour, hour, lanName), "https://" + lanName + ":8443", nil, ""},
		{"one-of-its-names", valid(-hour, hour, "a.example.org", lanName), "https://" + lanName, nil, ""},
		{"a-name-below", valid(-hour, hour, "*.lan.example.org"), "https://" + lanName, nil, ""},
		{"its-number", valid(-hour, hour, lanName), "https://192.0.2.7", nil, ""},
		{"another-name", valid(-hour, hour, "a.example.org"), "https://" + lanName,
			[]string{"is not for the address people open", "give --address with a name of the certificate", lanName, "a.example.org 192.0.2.7"}, ""},
		{"no-address", valid(-hour, hour, lanName), "", []string{"is not for the address people open", "127.0.0.1", lanName}, ""},
		{"expired", valid(-2*hour, -hour, lanName), "https://" + lanName, []string{"has expired", "renew it"}, ""},
		{"not-valid-yet", valid(hour, 2*hour, lanName), "https://" + lanName, []string{"is not valid yet", "clock"}, ""},
		{"http", valid(-hour, hour, lanName), "http://" + lanName, nil, "write it as https://" + lanName},
	} {
		t.Run(c.name, func(t *testing.T) {
			cert, key := files(t, c.certificate)
			var said strings.Builder
			listener, _, err := (&netFlags{listen: "127.0.0.1:0", cert: cert, key: key, address: c.address}).open(slog.New(slog.NewTextHandler(&said, nil)))
			if c.refused != "" {
				if err == nil || !strings.Contains(err.Error(), c.refused) {
					t.Errorf("got %v, want a refusal with %q", err, c.refused)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			defer listener.Close()
			if c.warns == nil && said.Len() > 0 {
				t.Errorf("warned for nothing: %s", said.String())
			}
			for _, part := range c.warns {
				if !strings.Contains(said.String(), part) {
					t.Errorf("the log %q lacks %q", said.String(), part)
				}
			}
		})
	}
}

// servingAt serves a new data folder until the test ends, and tells where it listens.
func servingAt(t *testing.T, where *netFlags) string {
	t.Helper()
	log := slog.New(slog.DiscardHandler)
	d, err := openDataDir(t.Context(), t.TempDir(), log)
	if err != nil {
		t.Fatal(err)
	}
	listener, address, err := where.open(log)
	if err != nil {
		t.Fatal(err)
	}
	if address != where.address {
		t.Errorf("people are told %s, want %s", address, where.address)
	}
	web := &http.Server{Handler: d.server.Handler(), ReadHeaderTimeout: 10 * time.Second, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn)}
	go web.Serve(listener)
	t.Cleanup(func() {
		ctx, stop := context.WithTimeout(context.Background(), graceful)
		defer stop()
		if err := web.Shutdown(ctx); err != nil {
			t.Error(err)
		}
		if err := d.close(ctx); err != nil {
			t.Error(err)
		}
	})
	return listener.Addr().String()
}

// Only the present versions of TLS are spoken, and of 1.2 only suites with forward secrecy
// and authenticated encryption.
func TestOldTLSIsRefused(t *testing.T) {
	own := authority(t, "The office's own root", nil)
	cert, key := files(t, forServer(t, &own, lanName))
	at := servingAt(t, &netFlags{listen: "127.0.0.1:0", cert: cert, key: key, address: "https://" + lanName})
	roots := x509.NewCertPool()
	roots.AddCert(own.certificate)
	for _, c := range []struct {
		name        string
		least, most uint16
		suites      []uint16
		want        bool
	}{
		{"1.0", tls.VersionTLS10, tls.VersionTLS10, nil, false},
		{"1.1", tls.VersionTLS11, tls.VersionTLS11, nil, false},
		{"1.2", tls.VersionTLS12, tls.VersionTLS12, nil, true},
		{"1.2 with CBC", tls.VersionTLS12, tls.VersionTLS12, []uint16{tls.TLS_ECDHE_ECDSA_WITH_AES_128_CBC_SHA, tls.TLS_ECDHE_RSA_WITH_AES_128_CBC_SHA, tls.TLS_ECDHE_ECDSA_WITH_AES_256_CBC_SHA, tls.TLS_ECDHE_RSA_WITH_AES_256_CBC_SHA}, false},
		{"1.2 without forward secrecy", tls.VersionTLS12, tls.VersionTLS12, []uint16{tls.TLS_RSA_WITH_AES_128_GCM_SHA256, tls.TLS_RSA_WITH_AES_128_CBC_SHA}, false},
		{"1.3", tls.VersionTLS13, tls.VersionTLS13, nil, true},
		{"any", tls.VersionTLS10, tls.VersionTLS13, nil, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			conn, err := tls.Dial("tcp", at, &tls.Config{RootCAs: roots, ServerName: lanName, MinVersion: c.least, MaxVersion: c.most, CipherSuites: c.suites})
			if (err == nil) != c.want {
				t.Errorf("got %v, want a connection: %t", err, c.want)
			}
			if err != nil {
				return
			}
			defer conn.Close()
			if got := conn.ConnectionState().Version; got != c.most {
				t.Errorf("TLS version %x, want %x", got, c.most)
			}
		})
	}
}
