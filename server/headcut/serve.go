package main

import (
	"context"
	"crypto/tls"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"runtime/debug"
	"strings"
	"time"

	"headcut/model"
	"headcut/sync/store/boltstore"
)

var serveCommand = command{
	name: "serve", args: "--data DIR [--listen ADDR]", summary: "serve devices and landholders from a data folder",
	help: `
Serves the register in DIR, made if it is not there, until it is interrupted.

It listens on this machine alone unless told otherwise. On any other address it wants a
certificate (--cert and --key), since the field page needs a secure address and tokens
travel on it; --plain says that something in front of it provides that.

Choose one address for good, a name and not a number, and give it with --address: phones
keep what they record by address, and under a new one they begin with nothing. The server
remembers its addresses and warns when it is started under another.`,
	run: runServe,
}

// netFlags say where a server listens.
type netFlags struct {
	listen, cert, key, address string
	plain                      bool
}

func (n *netFlags) add(f *flag.FlagSet, listen string) {
	f.StringVar(&n.listen, "listen", listen, "host:`port` to listen on")
	f.StringVar(&n.address, "address", "", "the `URL` people open, when it is not the one listened on")
	f.StringVar(&n.cert, "cert", "", "TLS certificate `file` (PEM)")
	f.StringVar(&n.key, "key", "", "TLS key `file` (PEM)")
	f.BoolVar(&n.plain, "plain", false, "plain HTTP beyond this machine, behind something that adds TLS")
}

// open listens, and tells the URL that people open.
func (n *netFlags) open() (net.Listener, string, error) {
	host, _, err := net.SplitHostPort(n.listen)
	if err != nil {
		return nil, "", &model.Problem{Path: "--listen", Reason: err.Error(), Fix: "write it as 127.0.0.1:8080"}
	}
	secure := n.cert != "" || n.key != ""
	if !secure && !n.plain && !loopback(host) {
		return nil, "", &model.Problem{Path: "--listen", Reason: n.listen + " can be reached from other machines without TLS",
			Fix: "give --cert and --key, or --plain when something in front of it adds TLS"}
	}
	listener, err := net.Listen("tcp", n.listen)
	if err != nil {
		return nil, "", &model.Problem{Path: "--listen", Reason: err.Error(), Fix: "another program may use that port: choose another"}
	}
	scheme := "http://"
	if secure {
		pair, err := tls.LoadX509KeyPair(n.cert, n.key)
		if err != nil {
			return nil, "", errors.Join(&model.Problem{Path: "--cert", Reason: err.Error(), Fix: "give both files as PEM"}, listener.Close())
		}
		listener = tls.NewListener(listener, &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}})
		scheme = "https://"
	}
	if n.address != "" {
		return listener, strings.TrimRight(n.address, "/"), nil
	}
	return listener, scheme + listener.Addr().String(), nil
}

func loopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

func runServe(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "data `folder`")
	var where netFlags
	where.add(f, "127.0.0.1:8080")
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || len(c.args) > 0 {
		return c.misused("say --data DIR and nothing else")
	}
	log := slog.New(slog.NewTextHandler(c.stderr, nil))
	d, err := openDataDir(ctx, *data, log)
	if err != nil {
		return err
	}
	return serve(ctx, d, &where, log, func(address string) error {
		_, err := fmt.Fprintf(c.stdout, "Serving %s on %s\n", *data, address)
		return err
	})
}

// announce tells the server its address, and the operator when it has changed.
func announce(ctx context.Context, d *dataDir, address string, log *slog.Logger) error {
	earlier, err := d.server.Announce(ctx, address)
	if len(earlier) > 0 {
		log.Warn("this server has another address than before: phones that enrolled under the earlier one see nothing here, and what they have not sent is under the earlier one; serve that too until they have sent it",
			"address", address, "earlier", strings.Join(earlier, " "))
	}
	return err
}

// graceful is how long requests and conversations are given to end.
const graceful = 10 * time.Second

// serve answers until ctx ends, then stops gracefully and closes d. It calls ready once it
// answers; an error of ready ends it.
func serve(ctx context.Context, d *dataDir, where *netFlags, log *slog.Logger, ready func(address string) error) error {
	listener, address, err := where.open()
	if err != nil {
		return errors.Join(err, d.close(ctx))
	}
	web := &http.Server{
		Handler: d.server.Handler(), ReadHeaderTimeout: 10 * time.Second, IdleTimeout: 2 * time.Minute,
		MaxHeaderBytes: 16 << 10, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	ended := make(chan error, 1)
	go func() { ended <- web.Serve(listener) }()
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(boltstore.ServingGCPercent)
	}
	if err = announce(ctx, d, address, log); err == nil {
		err = ready(address)
	}
	if err == nil {
		select {
		case err = <-ended:
		case <-ctx.Done():
		}
	}
	last, cancel := context.WithTimeout(context.Background(), graceful)
	defer cancel()
	log.Info("stopping")
	return errors.Join(err, d.close(last), web.Shutdown(last))
}
