package main

import (
	"crypto/tls"
	"log/slog"
	"os"
	"strings"
	"sync"
	"time"
)

// certificate is the server's certificate as its files now have it. Certificates are renewed
// every few weeks by programs that write the files and, at most, send a SIGHUP.
type certificate struct {
	cert, key string // files
	host      string // that people open
	log       *slog.Logger

	mu     sync.Mutex
	pair   *tls.Certificate
	read   [2]fileState
	looked time.Time
}

// fileState tells a file from what it was; the zero state is of one that cannot be looked at.
type fileState struct {
	at   time.Time
	size int64
}

// checkEvery is how often the files are looked at, when somebody connects.
const checkEvery = time.Second

// readCertificate reads the two files; a Problem when they are no certificate and its key. It
// warns when browsers will refuse the certificate for the host that people open.
func readCertificate(cert, key, host string, log *slog.Logger) (*certificate, error) {
	c := &certificate{cert: cert, key: key, host: host, log: log}
	if err := c.reread(); err != nil {
		return nil, cannotUse(err)
	}
	c.warn()
	return c, nil
}

// warn says what a browser will refuse in the certificate. It starts anyway: a
// renewed file is read without a restart, and something in front may show another certificate.
func (c *certificate) warn() {
	leaf, now := c.pair.Leaf, time.Now()
	if err := leaf.VerifyHostname(c.host); err != nil {
		names := append([]string{}, leaf.DNSNames...)
		for _, ip := range leaf.IPAddresses {
			names = append(names, ip.String())
		}
		fix := "give a certificate that names " + c.host
		if len(names) > 0 {
			fix = "give --address with a name of the certificate, or " + fix[len("give "):]
		}
		c.log.Warn("the certificate is not for the address people open: their browsers will refuse it; "+fix,
			"address", c.host, "certificate", strings.Join(names, " "))
	}
	if now.After(leaf.NotAfter) {
		c.log.Warn("the certificate has expired: browsers will refuse it; renew it, the new files are read without a restart", "until", leaf.NotAfter)
	}
	if now.Before(leaf.NotBefore) {
		c.log.Warn("the certificate is not valid yet: browsers will refuse it; check this machine's clock, or give the certificate before it", "from", leaf.NotBefore)
	}
}

// current is for tls.Config.GetCertificate: it reads the files again when they have changed.
// While they are half written, or hold something else, the certificate before them goes on.
func (c *certificate) current(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if now := time.Now(); now.Sub(c.looked).Abs() >= checkEvery {
		c.looked = now
		c.renew(false)
	}
	return c.pair, nil
}

// again reads the files at once, as after a SIGHUP.
func (c *certificate) again() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.renew(true)
}

func (c *certificate) renew(asked bool) {
	if c.states() == c.read && !asked {
		return
	}
	if err := c.reread(); err != nil {
		c.log.Warn("the certificate's files have changed and cannot be used: the one before them stays in use", "error", err)
		return
	}
	c.log.Info("the certificate was read again", "until", c.pair.Leaf.NotAfter)
	c.warn()
}

func (c *certificate) reread() error {
	states := c.states() // before reading: what is written meanwhile is read the next time
	c.read = states
	pair, err := tls.LoadX509KeyPair(c.cert, c.key)
	if err != nil {
		return err
	}
	c.pair = &pair
	return nil
}

func (c *certificate) states() (states [2]fileState) {
	for i, name := range []string{c.cert, c.key} {
		if info, err := os.Stat(name); err == nil {
			states[i] = fileState{info.ModTime(), info.Size()}
		}
	}
	return states
}
