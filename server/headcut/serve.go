package main

import (
	"context"
	"crypto/tls"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	plainlog "log"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"headcut/model"
	"headcut/server"
)

var serveCommand = command{
	name: "serve", args: "--data DIR [--listen HOST:PORT] [--address URL] [--cert FILE --key FILE] [--plain] [--proxy ADDRESS] [--device-room SIZE] [--property-room SIZE] [--free SIZE]", summary: "serve devices and landholders from a data folder",
	help: `
Serves the register in DIR, made if it is not there, until it is interrupted.

Without --listen it can be reached from this machine alone. On any other address it wants a
certificate (--cert and --key), since the field page needs a secure address and tokens
travel on it; --plain says that something in front of it provides that.

Choose one address for good, a name and not a number, and give it with --address: phones
keep what they record by address, and under a new one they begin with nothing. The server
remembers its addresses and warns when it is started under another. Behind something that
passes requests on under another name, give the name that people open, and with --proxy its
address, so that limits by address count those it asks for: it must add the address of each
to X-Forwarded-For. A connection has 10 s to say which device it is; one address may have
128 connections that have not, 1,024 in all, and a device 4. One more ends the oldest. After
20 wrong codes a minute from an address the rest are held back, after 40 from all who come through
a proxy that --proxy does not name; a right one never is. Of TLS handshakes that come to nothing the
log tells 10 a minute, and how many more there were. An item
may have 2 MB of fields; a phone says when an entry is refused for that. What a phone has the
disk write again of large items, beyond 16 times the bytes it sends, is written at 4 MB a second
after the first 16 MB.
Computations for strangers run on all processors but one, 64 inputs are held at once and 8 of
an address, and an address that has had much computed waits; of 64 photos at once small
versions are made.

What a phone sends may take 50 GB (--device-room), what a property has 100 GB (--property-room),
and the disk keeps 2 GB free (--free); 0 is no limit. From 80 % on the log says so, and
'headcut devices' and 'headcut properties' show it while the server runs. Photos are refused first,
and wait on the phone until there is room; entries are taken until they alone fill a tenth of a
room, or the disk has a tenth of what it must keep. Half-sent photos are removed after 14 days
without a byte, at the start and every hour; the phone begins them again. A phone may have 64 of them,
and send 4 photos at once (it sends 2); one more is asked to come later. A whole photo is never removed, named or not: its entry may be on a phone with no signal.

The certificate is read again when its files change, and at once on SIGHUP. It must name
the host in --address; the server warns when it does not, and when it has expired. Under an
https address browsers open it and the names below it by https alone for a year.

The log, on standard error, tells with times which phones enrolled and connected, and from
where anybody was turned away, 20 times a minute of an address; it has no code, token or
link. Keep it where only you can read it, and as long as your rules say.`,
	run: runServe,
}

var roomFlags = map[string]string{
	"device-room": "that entries and photos of a phone may take", "property-room": "that those of a property may take",
	"free": "that the disk keeps free",
}

// netFlags say where a server listens.
type netFlags struct {
	listen, cert, key, address, proxy string
	plain                             bool
	proxies                           server.Proxies

	certificate *certificate // while it listens with one
}

func (n *netFlags) add(f *flag.FlagSet, listen string) {
	f.StringVar(&n.listen, "listen", listen, "`HOST:PORT` where to listen")
	f.StringVar(&n.address, "address", "", "`URL` address that people open, when it is not the one listened on")
	f.StringVar(&n.proxy, "proxy", "", "`ADDRESS` of the proxy in front, or its network; several with commas")
	f.StringVar(&n.cert, "cert", "", "`FILE` TLS certificate (PEM)")
	f.StringVar(&n.key, "key", "", "`FILE` key of the certificate (PEM)")
	f.BoolVar(&n.plain, "plain", false, "plain HTTP beyond this machine, behind something that adds TLS")
}

// open listens, and tells the URL that people open.
func (n *netFlags) open(log *slog.Logger) (net.Listener, string, error) {
	address := ""
	if n.address != "" {
		var err error
		if address, err = server.ServerAddress(n.address); err != nil {
			return nil, "", err
		}
	}
	var err error
	if n.proxies, err = server.ParseProxies(n.proxy); err != nil {
		return nil, "", err
	}
	host, _, err := net.SplitHostPort(n.listen)
	if err != nil {
		return nil, "", &model.Problem{Path: "--listen", Reason: strconv.Quote(n.listen) + " is not an address with a port", Fix: "write it as 127.0.0.1:8080"}
	}
	secure := n.cert != "" || n.key != ""
	if secure && (n.cert == "" || n.key == "") {
		missing := "--key"
		if n.cert == "" {
			missing = "--cert"
		}
		return nil, "", &model.Problem{Path: missing, Reason: "is missing: a certificate and its key go together", Fix: "give both --cert and --key"}
	}
	if secure && strings.HasPrefix(address, "http://") {
		return nil, "", &model.Problem{Path: "--address", Reason: "begins with http, but --cert makes this server answer https only",
			Fix: "write it as https" + strings.TrimPrefix(address, "http") + ", or leave --cert and --key out"}
	}
	if !secure && !n.plain && !loopback(host) {
		return nil, "", &model.Problem{Path: "--listen", Reason: n.listen + " can be reached from other machines without TLS",
			Fix: "give --cert and --key, or --plain when something in front of it adds TLS"}
	}
	listener, err := net.Listen("tcp", n.listen)
	if err != nil {
		return nil, "", cannotListen(n.listen, err)
	}
	opened := address
	if opened == "" {
		opened = map[bool]string{false: "http://", true: "https://"}[secure] + listener.Addr().String()
	}
	if secure {
		if n.certificate, err = readCertificate(n.cert, n.key, hostOf(opened), log); err != nil {
			return nil, "", errors.Join(err, listener.Close())
		}
		turns := newHandshakes(listener)
		listener = tls.NewListener(turns, &tls.Config{GetConfigForClient: turns.begin, GetCertificate: n.certificate.current, MinVersion: tls.VersionTLS12, CipherSuites: ciphers12, NextProtos: []string{"http/1.1"}})
	}
	if strings.HasPrefix(address, "http://") && !loopback(hostOf(address)) {
		log.Warn("phones do not enrol under an address that begins with http: their browsers keep nothing safely there", "address", address)
	}
	return listener, opened, nil
}

// ciphers12 are the suites of TLS 1.2 with forward secrecy and authenticated encryption (RFC
// 9325, section 4.2). Those of TLS 1.3 are all of that kind and cannot be chosen.
var ciphers12 = []uint16{
	tls.TLS_ECDHE_ECDSA_WITH_AES_128_GCM_SHA256, tls.TLS_ECDHE_RSA_WITH_AES_128_GCM_SHA256,
	tls.TLS_ECDHE_ECDSA_WITH_AES_256_GCM_SHA384, tls.TLS_ECDHE_RSA_WITH_AES_256_GCM_SHA384,
	tls.TLS_ECDHE_ECDSA_WITH_CHACHA20_POLY1305_SHA256, tls.TLS_ECDHE_RSA_WITH_CHACHA20_POLY1305_SHA256,
}

func hostOf(address string) string {
	u, err := url.Parse(address)
	if err != nil {
		return ""
	}
	return u.Hostname()
}

func loopback(host string) bool {
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

func runServe(ctx context.Context, c *call) error {
	f := c.flags()
	data := f.String("data", "", "`DIR` data folder")
	var where netFlags
	where.add(f, "127.0.0.1:8080")
	room := server.DefaultRoom
	for name, size := range map[string]*int64{"device-room": &room.Device, "property-room": &room.Property, "free": &room.Free} {
		f.Func(name, "`SIZE` "+roomFlags[name]+" (default "+server.SizeWords(*size)+")", func(text string) (err error) {
			*size, err = server.ParseSize(text)
			return err
		})
	}
	if err := c.parse(f); err != nil {
		return err
	}
	if *data == "" || len(c.args) > 0 {
		return c.misused("say --data DIR and nothing else")
	}
	log := slog.New(slog.NewTextHandler(c.stderr, nil))
	listener, address, err := where.open(log) // before a folder is made for a server that cannot listen
	if err != nil {
		return err
	}
	_, noRegister := os.Stat(filepath.Join(*data, registerFile))
	d, err := serveDataDir(ctx, *data, log)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	if errors.Is(noRegister, fs.ErrNotExist) {
		fmt.Fprintf(c.stderr, "New register made in %s. If there should be one already, stop this server and check what --data says.\n", *data)
	}
	d.server.KeepRoom(room, func() (int64, bool) { return freeBytes(*data) })
	tending, stop := context.WithCancel(ctx)
	var tended sync.WaitGroup
	tended.Go(func() { d.server.Tend(tending) })
	defer tended.Wait()
	defer stop()
	if shut := d.server.WaitForOffice(); shut.Devices+shut.Links > 0 {
		log.Warn("the register was restored: phones and links are kept shut until the office confirms them with 'headcut devices --confirm' and 'headcut links --confirm'", "phones", shut.Devices, "links", shut.Links)
	}
	return serve(ctx, d, &where, listener, address, log, func(address string) error {
		_, err := fmt.Fprintf(c.stdout, "Serving %s on %s\nOn phones, open %s/field/\nAt a desk, open %s/desk/\n", *data, address, address, address)
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

// serve answers on a listener until ctx ends, then stops gracefully and closes d. It calls ready once it
// answers; an error of ready ends it.
func serve(ctx context.Context, d *dataDir, where *netFlags, listener net.Listener, address string, log *slog.Logger, ready func(address string) error) error {
	d.server.TrustProxies(where.proxies)
	var err error
	web := &http.Server{
		Handler: d.server.Handler(), ReadHeaderTimeout: 10 * time.Second, IdleTimeout: 2 * time.Minute,
		MaxHeaderBytes: 16 << 10, ConnState: d.server.Gate().ConnState, ErrorLog: plainlog.New(newHandshakeLog(log), "", 0),
	}
	hangUps := make(chan os.Signal, 1)
	signal.Notify(hangUps, syscall.SIGHUP) // what renews certificates sends it, and so does a terminal that is closed
	defer signal.Stop(hangUps)
	ended := make(chan error, 1)
	go func() { ended <- web.Serve(listener) }()
	if os.Getenv("GOGC") == "" {
		keepHeapRoom()
	}
	if err = announce(ctx, d, address, log); err == nil {
		err = ready(address)
	}
	for on := err == nil; on; {
		select {
		case err = <-ended:
			on = false
		case <-ctx.Done():
			on = false
		case <-hangUps:
			if where.certificate != nil {
				where.certificate.again()
			}
		}
	}
	last, cancel := context.WithTimeout(context.Background(), graceful)
	defer cancel()
	log.Info("stopping")
	return errors.Join(err, d.close(last), web.Shutdown(last))
}
