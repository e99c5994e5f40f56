package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"headcut/model"
	"headcut/server"
	"headcut/sync/store"
	"headcut/sync/store/boltstore"
)

// TestFieldsBesideAnInput: --set adds a field or takes its place, a text with its quotes or without.
func TestFieldsBesideAnInput(t *testing.T) {
	for _, c := range []struct {
		in   string
		set  []string
		want string
	}{
		{`{"a": 1}`, nil, `{"a": 1}`},
		{"", []string{"a=1"}, `{"a":1}`},
		{" \n", []string{"a=1", "b=yes", "c=[1,2]", `d={"e":null}`}, `{"a":1,"b":"yes","c":[1,2],"d":{"e":null}}`},
		{`{"a": 1, "b": 2}`, []string{"a=3", "a=4=5"}, `{"a":"4=5","b":2}`},
		{`{"b": 2}`, []string{"b=3", "a="}, `{"b":3,"a":""}`},
		{`{}`, []string{"rowsSource=7"}, `{"rowsSource":"7"}`}, // a text, whatever it looks like
		{`{}`, []string{`rowsSource="7"`}, `{"rowsSource":"7"}`},
		{`{}`, []string{"rowsSource=true"}, `{"rowsSource":"true"}`},
		{`[1]`, []string{"a=1"}, `[1]`}, {`{"a"`, []string{"a=1"}, `{"a"`}, {`{"a": }`, []string{"a=1"}, `{"a": }`}, {`{"a": 1, 2}`, []string{"a=1"}, `{"a": 1, 2}`}, {`x`, []string{"a=1"}, `x`},
	} {
		if got, err := beside([]byte(c.in), c.set, "whoa-boys"); err != nil || string(got) != c.want {
			t.Errorf("%s and %q are %s (%v), want %s", c.in, c.set, got, err, c.want)
		}
	}
	for _, one := range []string{"", "a", "=1"} {
		if got, err := beside([]byte("{}"), []string{one}, "area"); err == nil || !strings.Contains(err.Error(), fmt.Sprintf("--set %q has no field and value", one)) {
			t.Errorf("%q gives %s, %v", one, got, err)
		}
	}
}

// TestOptionsInWords: what is wrong with an option, and a folder that is named without one.
func TestOptionsInWords(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, dir := range []string{"office", "old office", `o"ne`} {
		if err := os.Mkdir(dir, 0o700); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile("file", nil, 0o600); err != nil {
		t.Fatal(err)
	}
	set := func() *flag.FlagSet {
		f := flag.NewFlagSet("sow", flag.ContinueOnError)
		f.SetOutput(io.Discard)
		f.String("data", "", "`DIR` data folder")
		f.String("seed", "", "what to sow")
		f.Int("rows", 0, "`NUMBER` how many")
		f.Bool("dry", false, "sow nothing")
		return f
	}
	for given, want := range map[string]string{
		"--data": "--data needs a value: --data DIR", "--seed": "--seed needs a value: --seed VALUE", "--sed": "there is no option --sed: did you mean --seed?", "--plough": "there is no option --plough",
		"--rows=x": `--rows takes a whole number, not "x"`, "--rows=99999999999999999999": `--rows takes no number as large as "99999999999999999999"`, "--dry=x": `--dry takes no value: leave "x" out`,
		"---rows": "bad flag syntax: ---rows",
	} {
		f := set()
		if got := flagWords(f, f.Parse([]string{given})); got != want {
			t.Errorf("%s: %q, want %q", given, got, want)
		}
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"office"}, "office"}, {[]string{"old office", "x"}, `"old office"`}, {[]string{`o"ne`}, `"o\"ne"`}, {[]string{"file"}, ""}, {[]string{"nowhere"}, ""}, {nil, ""},
	} {
		if got := folderWithoutData(set(), c.args); got != c.want {
			t.Errorf("%q without --data: %q, want %q", c.args, got, c.want)
		}
	}
	f := set()
	if err := f.Parse([]string{"--data", "d"}); err != nil || folderWithoutData(f, []string{"office"}) != "" {
		t.Errorf("a folder after --data d is taken for a data folder (%v)", err)
	}
	if got := folderWithoutData(flag.NewFlagSet("sow", flag.ContinueOnError), []string{"office"}); got != "" {
		t.Errorf("a command without --data takes %q for one", got)
	}
}

// TestMoreErrorsInPlainWords: those of a failing disk, of a port, and what is none that is known.
func TestMoreErrorsInPlainWords(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	at := func(err error) error { return &fs.PathError{Op: "read", Path: filepath.Join(dir, "a", "b"), Err: err} }
	for _, c := range []struct {
		got  *model.Problem
		want string // "" for none
	}{
		{plainly(at(syscall.EIO)), "the disk that " + dir + " is on fails (read"},
		{plainly(at(syscall.ENOSPC)), "the disk that " + dir + " is on is full"},
		{plainly(&fs.PathError{Path: dir, Err: syscall.EDQUOT}), "the disk that " + dir + " is on is full"},
		{plainly(&fs.PathError{Path: file, Err: syscall.EDQUOT}), "the disk that " + dir + " is on is full"},
		{plainly(syscall.ENOSPC), "the disk is full (no space left on device)"},
		{plainly(fmt.Errorf("entries: %w", store.ErrFull)), "the disk is full (entries: "},
		{plainly(at(fs.ErrNotExist)), "there is no " + dir},
		{plainly(at(errors.New("odd"))), ""}, {plainly(errors.New("odd")), ""}, {plainly(syscall.EIO), ""},
		{plainly(&fs.PathError{Path: filepath.Join(file, "below", "it"), Err: syscall.ENOTDIR}), file + " is a file, not a folder"},
		{plainly(&fs.PathError{Path: filepath.Join(dir, "a"), Err: syscall.ENOTDIR}), filepath.Join(dir, "a") + " is a file, not a folder"}, // it has gone since
		{cannotListen("h:1", syscall.EADDRINUSE), "another process listens at h:1 already"},
		{cannotListen("h:1", syscall.EACCES), "this user may not listen at h:1"},
		{cannotListen("h:1", errors.New("odd")), "there is no address h:1 on this machine"},
		{cannotUse(at(fs.ErrNotExist)), "there is no " + dir},
		{cannotUse(errors.New("odd")), "the two files are no certificate with its key"},
	} {
		if c.want == "" != (c.got == nil) || c.got != nil && (!strings.HasPrefix(c.got.Reason, c.want) || c.got.Fix == "") {
			t.Errorf("%v, want %q", c.got, c.want)
		}
	}
	for err, want := range map[error]string{
		&fs.PathError{Op: "open", Path: "f", Err: syscall.ENOENT}: "there is no such file", &fs.PathError{Op: "open", Path: "f", Err: syscall.EACCES}: "may not be read by the user",
		&fs.PathError{Op: "open", Path: "f", Err: syscall.EIO}: syscall.EIO.Error(),
	} {
		if got := fileFault(err); !strings.HasPrefix(got.Error(), want) {
			t.Errorf("%v is told as %v, want %q", err, got, want)
		}
	}
}

// TestCheckOfARunningServer: how far it is, what it found, and why it ended are passed on.
func TestCheckOfARunningServer(t *testing.T) {
	found, err := json.Marshal(boltstore.Audited{Awaited: 3})
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		steps []server.AuditStep
		heard string
		want  string // of the error
	}{
		"found":   {[]server.AuditStep{{What: "entries", Done: 7}, {What: "photos", Done: 1}, {Found: found}}, "entries 7;photos 1;", ""},
		"fault":   {[]server.AuditStep{{What: "entries", Done: 7}, {Fault: "it stopped"}}, "entries 7;", "it stopped"},
		"damaged": {[]server.AuditStep{{Damaged: true, Fault: store.ErrDamaged.Error() + ": page 3"}}, "", store.ErrDamaged.Error() + ": page 3"},
		"ended":   {[]server.AuditStep{{What: "entries", Done: 7}}, "entries 7;", "the server ended its check"},
	} {
		client := &http.Client{Transport: direct{http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			for _, step := range c.steps {
				if err := json.NewEncoder(w).Encode(step); err != nil {
					t.Error(err)
				}
			}
		})}}
		heard := ""
		got, err := auditRunning(t.Context(), client, func(what string, done uint64) { heard += fmt.Sprintf("%s %d;", what, done) })
		if heard != c.heard || (err == nil) != (c.want == "") || err != nil && !strings.HasPrefix(err.Error(), c.want) || err == nil && got.Awaited != 3 {
			t.Errorf("%s: heard %q, found %+v, %v", name, heard, got, err)
		}
		if errors.Is(err, store.ErrDamaged) != (name == "damaged") {
			t.Errorf("%s: %v as damage", name, err)
		}
	}
}

// TestWhereAServerListens: options that do not go together are refused with the one that is missing
// or wrong, and an address that phones do not enrol under is warned of.
func TestWhereAServerListens(t *testing.T) {
	for _, c := range []struct {
		where        netFlags
		path, reason string // of the refusal
		opened, warn string
	}{
		{netFlags{listen: "127.0.0.1:0", cert: "c"}, "--key", "is missing", "", ""},
		{netFlags{listen: "127.0.0.1:0", key: "k"}, "--cert", "is missing", "", ""},
		{netFlags{listen: "127.0.0.1:0", proxy: "nowhere"}, "--proxy", "", "", ""},
		{netFlags{listen: "127.0.0.1:0", address: "nowhere"}, "--address", "", "", ""},
		{netFlags{listen: "0.0.0.0:0"}, "--listen", "0.0.0.0:0 can be reached from other machines without TLS", "", ""},
		{netFlags{listen: ":0"}, "--listen", ":0 can be reached", "", ""},
		{netFlags{listen: "0.0.0.0:0", plain: true}, "", "", "http://", ""},
		{netFlags{listen: "localhost:0"}, "", "", "http://127.0.0.1:", ""},
		{netFlags{listen: "127.0.0.1:0", address: "https://register.example.org"}, "", "", "https://register.example.org", ""},
		{netFlags{listen: "127.0.0.1:0", address: "http://register.example.org"}, "", "", "http://register.example.org", "phones do not enrol"},
		{netFlags{listen: "127.0.0.1:0", address: "http://localhost:8080"}, "", "", "http://localhost:8080", ""},
	} {
		var said bytes.Buffer
		listener, opened, err := c.where.open(slog.New(slog.NewTextHandler(&said, nil)))
		if listener != nil {
			_ = listener.Close()
		}
		var p *model.Problem
		if errors.As(err, &p); (err == nil) != (c.path == "") || p != nil && (p.Path != c.path || !strings.HasPrefix(p.Reason, c.reason)) {
			t.Errorf("%+v: %v, want %s %s", c.where, err, c.path, c.reason)
		}
		if !strings.HasPrefix(opened, c.opened) || !strings.Contains(said.String(), c.warn) || c.warn == "" && said.Len() > 0 {
			t.Errorf("%+v: opened as %s, said %q", c.where, opened, &said)
		}
	}
	for address, want := range map[string]string{"http://a.example:8080/x": "a.example", "https://[::1]:1": "::1", "http://a b": "", "x": ""} {
		if got := hostOf(address); got != want {
			t.Errorf("the host of %s is %q, want %q", address, got, want)
		}
	}
	for host, want := range map[string]bool{"localhost": true, "127.0.0.9": true, "::1": true, "": false, "10.0.0.1": false, "example.org": false} {
		if loopback(host) != want {
			t.Errorf("%q as this machine: %t", host, !want)
		}
	}
}

// TestCertificateIsLookedAt: at most once a second, at once where it is asked for; the log says so.
func TestCertificateIsLookedAt(t *testing.T) {
	own := authority(t, "The office's own root", nil)
	cert, key := files(t, forServer(t, &own, lanName))
	var said bytes.Buffer
	c, err := readCertificate(cert, key, lanName, slog.New(slog.NewTextHandler(&said, nil)))
	if err != nil {
		t.Fatal(err)
	}
	first := c.pair
	reread := func(what string, want bool) {
		t.Helper()
		got, err := c.current(nil)
		if err != nil || (got != first) != want || strings.Contains(said.String(), "was read again") != want {
			t.Errorf("%s: another %t, %v, said %q", what, got != first, err, &said)
		}
		first = got
		said.Reset()
	}
	c.looked = time.Now()
	if err := os.Chtimes(cert, time.Time{}, time.Now().Add(-time.Hour)); err != nil {
		t.Fatal(err)
	}
	reread("changed, and looked at just now", false)
	c.looked = time.Now().Add(-checkEvery)
	reread("changed, and looked at a second ago", true)
	c.looked = time.Now().Add(-checkEvery)
	reread("as it was", false)
	c.looked = time.Now().Add(time.Hour)
	if err := os.Chtimes(key, time.Time{}, time.Now().Add(-time.Hour)); err != nil {
		t.Fatal(err)
	}
	reread("changed, and the clock set back", true)
	c.again()
	if c.pair == first || !strings.Contains(said.String(), "was read again") {
		t.Errorf("asked for, it is not read again: %q", &said)
	}
	said.Reset()
	c.host = "other.example.org"
	c.warn()
	if want := `give --address with a name of the certificate, or a certificate that names other.example.org" address=other.example.org certificate=` + lanName; !strings.Contains(said.String(), want) {
		t.Errorf("another host: said %q, want %q", &said, want)
	}
}

// TestHelpAsAWhole: what it is, each command, and where to start.
func TestHelpAsAWhole(t *testing.T) {
	var out, fault bytes.Buffer
	for _, args := range [][]string{nil, {"help"}, {"-h"}, {"--help"}, {"help", "help"}, {"help", "-h"}, {"help", "--help"}} {
		out.Reset()
		code := run(t.Context(), args, nil, &out, &fault)
		lines := strings.Split(out.String(), "\n")
		if code != 0 || fault.Len() > 0 || !strings.HasPrefix(lines[0], "Headcut keeps the register of works") || len(lines) != len(commands)+5 ||
			lines[len(commands)+3] != "Start with 'headcut demo'. 'headcut help COMMAND' says more of one." {
			t.Errorf("headcut %q: %d %s%s", args, code, &out, &fault)
		}
	}
	out.Reset()
	if code := run(t.Context(), []string{"help", "verify"}, nil, &out, &fault); code != 0 || !strings.HasPrefix(out.String(), "headcut verify --data DIR\n\nRecomputes") || !strings.Contains(out.String(), "\nOptions:\n  --data DIR") {
		t.Errorf("headcut help verify: %d %s%s", code, &out, &fault)
	}
	out.Reset()
	if code := run(t.Context(), []string{"help", "plough"}, nil, &out, &fault); code != 2 || fault.String() != "headcut: there is no command \"plough\".\nRun 'headcut help' for the list.\n" {
		t.Errorf("headcut help plough: %d %s%s", code, &out, &fault)
	}
}

// TestOutputThatEnds: what cannot be printed is an error, and a request that was given up is none that
// was answered.
func TestOutputThatEnds(t *testing.T) {
	if n, err := (printed{failing{}}).Write([]byte("x")); n != 0 || !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("wrote %d, %v", n, err)
	}
	var out bytes.Buffer
	if n, err := (printed{&out}).Write([]byte("a\x1b\u202e\tb\n")); n != len("a\x1b\u202e\tb\n") || err != nil || out.String() != "a\ufffd\ufffd\tb\n" {
		t.Errorf("wrote %d, %v: %q", n, err, out.String())
	}
	if plainOutput(printed{&out}) != io.Writer(&out) || plainOutput(&out) != io.Writer(&out) {
		t.Error("control sequences of our own do not go to the output itself")
	}
	for r, want := range map[rune]bool{0x2029: false, 0x202A: true, 0x202E: true, 0x202F: false, 0x2065: false, 0x2066: true, 0x2069: true, 0x206A: false} {
		if redirects(r) != want {
			t.Errorf("%U turns the text: %t", r, !want)
		}
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	held := make(chan struct{})
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://office/", nil)
	if err != nil {
		t.Fatal(err)
	}
	if res, err := (direct{http.HandlerFunc(func(http.ResponseWriter, *http.Request) { <-held })}).RoundTrip(req); !errors.Is(err, context.Canceled) {
		t.Errorf("given up: %v, %v", res, err)
	}
	close(held)
}

// failing is an output that has gone.
type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }
