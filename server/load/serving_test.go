package load

import (
	"bufio"
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"math/big"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"headcut/server"
)

const serverName = "register.example.org"

// serving is the real program, serving a data folder of its own under a certificate.
type serving struct {
	t     testing.TB
	dir   string // data folder
	at    string // host and port
	pid   int
	cert  string      // file of its certificate
	tls   *tls.Config // of its visitors
	admin *http.Client
	log   *bytes.Buffer
	came  atomic.Int64 // visitors so far: each has an address of its own
}

// serve builds the program and starts it.
func serve(t testing.TB) *serving {
	t.Helper()
	dir := t.TempDir()
	program := filepath.Join(dir, "headcut")
	if out, err := exec.Command("go", "build", "-o", program, "headcut/server/headcut").CombinedOutput(); err != nil {
		t.Fatalf("building headcut: %v\n%s", err, out)
	}
	s := &serving{t: t, dir: filepath.Join(dir, "data"), log: new(bytes.Buffer)}
	cert, key, roots := certificate(t, dir)
	s.cert = cert
	s.tls = visitors(roots)
	cmd := exec.Command(program, "serve", "--data", s.dir, "--listen", "127.0.0.1:0", "--cert", cert, "--key", key)
	cmd.Stderr = s.log
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	s.pid = cmd.Process.Pid
	t.Cleanup(func() {
		_ = cmd.Process.Signal(syscall.SIGINT)
		if err := cmd.Wait(); err != nil {
			t.Errorf("the server ended with %v; its log ends\n%s", err, tail(s.log.String()))
		}
	})
	said, err := bufio.NewReader(out).ReadString('\n')
	_, address, found := strings.Cut(strings.TrimSpace(said), " on https://")
	if err != nil || !found {
		t.Fatalf("the server said %q, %v\n%s", said, err, s.log)
	}
	s.at = address
	s.admin = &http.Client{Transport: &http.Transport{DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
		var d net.Dialer
		return d.DialContext(ctx, "unix", filepath.Join(s.dir, "office.sock"))
	}}}
	t.Cleanup(s.admin.CloseIdleConnections)
	return s
}

func visitors(roots *x509.CertPool) *tls.Config {
	return &tls.Config{RootCAs: roots, ServerName: serverName, ClientSessionCache: tls.NewLRUClientSessionCache(0)}
}

func tail(log string) string { return log[max(0, len(log)-2000):] }

// certificate is one that signs itself, and a pool that trusts it.
func certificate(t testing.TB, dir string) (cert, key string, roots *x509.CertPool) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: serverName}, DNSNames: []string{serverName}, IsCA: true, BasicConstraintsValid: true,
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(24 * time.Hour), KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign}
	raw, err := x509.CreateCertificate(rand.Reader, template, template, &private.PublicKey, private)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	roots, cert, key = x509.NewCertPool(), filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	text := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: raw})
	roots.AppendCertsFromPEM(text)
	for file, body := range map[string][]byte{cert: text, key: pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret})} {
		if err := os.WriteFile(file, body, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return cert, key, roots
}

// visit opens a TLS connection from an address that nobody else has, or of one that is given.
func (s *serving) visit(from net.IP) (net.Conn, error) {
	if from == nil {
		n := s.came.Add(1)
		from = net.IPv4(127, byte(1+n>>16), byte(n>>8), byte(n))
	}
	dialer := tls.Dialer{NetDialer: &net.Dialer{LocalAddr: &net.TCPAddr{IP: from}, Timeout: time.Minute}, Config: s.tls}
	return dialer.DialContext(context.Background(), "tcp", s.at)
}

// enrol makes devices that have a right to these properties, which are made when they are new,
// and returns the properties' ids too.
func (s *serving) enrol(n int, properties ...string) (devices []*device, ids []string) {
	s.t.Helper()
	devices = make([]*device, n)
	errs := make(chan error, n)
	places := make(chan struct{}, 32)
	var all sync.WaitGroup
	for i := range devices {
		all.Go(func() {
			places <- struct{}{}
			defer func() { <-places }()
			var given server.Invitation
			body, err := json.Marshal(server.Invite{Properties: properties, Author: "R. Field"})
			if err == nil {
				err = server.Ask(s.t.Context(), s.admin, http.MethodPost, "/office/invite", bytes.NewReader(body), &given)
			}
			if err == nil {
				devices[i], err = s.redeem(given.Code, fmt.Sprintf("phone-%d", s.came.Add(1)))
			}
			if err != nil {
				errs <- err
			}
		})
		if i == 0 {
			all.Wait() // so that a property is made once
		}
	}
	all.Wait()
	select {
	case err := <-errs:
		s.t.Fatal(err)
	default:
	}
	for _, name := range properties {
		for _, p := range devices[0].properties {
			if p.Name == name {
				ids = append(ids, p.ID)
			}
		}
	}
	if len(ids) != len(properties) {
		s.t.Fatalf("a device has %v, want %v", devices[0].properties, properties)
	}
	return devices, ids
}

// memory is what the server's process holds, in MB: its own, and with the pages of its mapped
// register, which are the system's to drop; at this moment and at most since it was last marked.
type memory struct{ own, most float64 }

func (s *serving) memory() memory {
	s.t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.pid))
	if err != nil {
		s.t.Fatalf("the server is gone: %v; its log ends\n%s", err, tail(s.log.String()))
	}
	return memory{statusMB(string(text), "RssAnon:"), statusMB(string(text), "VmHWM:")}
}

// processor is what the server has used of all processors so far, to 10 ms.
func (s *serving) processor() time.Duration {
	s.t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", s.pid))
	_, rest, found := strings.Cut(string(text), ") ")
	fields := strings.Fields(rest)
	if err != nil || !found || len(fields) < 13 {
		s.t.Fatalf("the server's processor time is not known: %q, %v", text, err)
	}
	user, _ := strconv.Atoi(fields[11]) // utime and stime of proc(5), in hundredths of a second on Linux
	system, _ := strconv.Atoi(fields[12])
	return time.Duration(user+system) * 10 * time.Millisecond
}

func statusMB(text, name string) float64 {
	_, rest, _ := strings.Cut(text, name)
	kB, _ := strconv.ParseFloat(strings.Fields(rest + " 0")[0], 64)
	return kB / 1024
}

// watched runs something, and tells the most memory that the server had meanwhile.
func (s *serving) watched(do func()) (most memory) {
	s.t.Helper()
	if err := os.WriteFile(fmt.Sprintf("/proc/%d/clear_refs", s.pid), []byte("5"), 0); err != nil {
		s.t.Fatal(err)
	}
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		for {
			select {
			case <-stop:
				return
			case <-time.After(20 * time.Millisecond):
				most.own = max(most.own, s.memory().own)
			}
		}
	}()
	do()
	close(stop)
	<-stopped
	now := s.memory()
	return memory{max(most.own, now.own), now.most}
}
