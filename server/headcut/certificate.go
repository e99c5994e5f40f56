package main

import (
	"crypto/tls"
	"log/slog"
	"os"
	"sync"
	"time"

	"headcut/model"
)

// certificate is the server's certificate as its files now have it. Certificates are renewed
// every few weeks by programs that write the files and, at most, send a SIGHUP.
type certificate struct {
	cert, key string // files
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

// lookEvery is how often the files are looked at, when somebody connects.
const lookEvery = time.Second

// readCertificate reads the two files; a Problem when they are no certificate and its key.
func readCertificate(cert, key string, log *slog.Logger) (*certificate, error) {
	c := &certificate{cert: cert, key: key, log: log}
	if err := c.reread(); err != nil {
		return nil, &model.Problem{Path: "--cert", Reason: err.Error(), Fix: "give both files as PEM"}
	}
	return c, nil
}

// current is for tls.Config.GetCertificate: it reads the files again when they have changed.
// While they are half written, or hold something else, the certificate before them goes on.
func (c *certificate) current(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if now := time.Now(); now.Sub(c.looked).Abs() >= lookEvery {
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
		c.log.Warn("the certificate's files have changed and cannot be used: the one before them goes on", "error", err)
		return
	}
	c.log.Info("the certificate was read again", "until", c.pair.Leaf.NotAfter)
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
