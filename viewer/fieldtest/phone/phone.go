package phone

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/systeminfo"
	"github.com/chromedp/chromedp"

	"headcut/viewer/tab"
)

// FarName is a host name that means this machine to the phone but is not secure to it, as
// a plain-HTTP name on a local network is.
const FarName = "office.test"

// userAgent is of an ordinary phone's browser.
const userAgent = "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/156.0.0.0 Mobile Safari/537.36"

// deskAgent is of an ordinary computer's browser.
const deskAgent = "Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/156.0.0.0 Safari/537.36"

// Phone is a Chromium with a profile folder of its own, which outlives its processes. Its
// first tab is embedded.
type Phone struct {
	*Page
	Office *Office

	t       testing.TB
	profile string
	set     settings
	root    context.Context    // of the browser's first tab, and so of the browser
	leave   context.CancelFunc // ends it
	running bool
}

type settings struct {
	width, height int64
	flags         []chromedp.ExecAllocatorOption
	persist       bool
	desk          bool
	agent         string
}

// Option sets a phone up otherwise than usual.
type Option func(*settings)

// Size is the window in CSS pixels; 412 by 800 otherwise.
func Size(width, height int64) Option {
	return func(s *settings) { s.width, s.height = width, height }
}

// Durable is a browser that promises to keep what is stored: navigator.storage.persist()
// gives true. Without it the browser refuses.
func Durable() Option { return func(s *settings) { s.persist = true } }

// Agent is what the browser says it is; an Android phone's otherwise.
func Agent(userAgent string) Option { return func(s *settings) { s.agent = userAgent } }

// Desk is a computer: its window in CSS pixels, a mouse and a keyboard, and no touch.
func Desk(width, height int64) Option {
	return func(s *settings) { s.width, s.height, s.desk, s.agent = width, height, true, deskAgent }
}

// Flag adds a flag of Chromium's command line.
func Flag(name string, value any) Option {
	return func(s *settings) { s.flags = append(s.flags, chromedp.Flag(name, value)) }
}

// New starts a phone. Its clock, receiver and network are those of this machine until the
// test changes them; it may use the receiver.
func New(t testing.TB, office *Office, options ...Option) *Phone {
	t.Helper()
	set := settings{width: 412, height: 800, agent: userAgent}
	for _, option := range options {
		option(&set)
	}
	profile, err := os.MkdirTemp("", "phone-profile")
	if err != nil {
		t.Fatal(err)
	}
	p := &Phone{Office: office, t: t, profile: profile, set: set}
	t.Cleanup(func() {
		p.Kill()
		if err := os.RemoveAll(profile); err != nil {
			t.Logf("the phone's profile stays behind: %v", err)
		}
	})
	p.Start()
	return p
}

// Start starts the browser on the phone's profile, with one empty tab.
func (p *Phone) Start() {
	p.t.Helper()
	if p.running {
		p.t.Fatal("the phone is on already")
	}
	root, leave, err := tab.Launch(p.profile, append([]chromedp.ExecAllocatorOption{
		chromedp.UserAgent(p.set.agent), chromedp.WSURLReadTimeout(time.Minute),
		chromedp.Flag("host-resolver-rules", "MAP "+FarName+" 127.0.0.1"),
	}, p.set.flags...)...)
	if err != nil {
		p.t.Fatal(err)
	}
	p.root, p.leave = root, leave
	p.running = true
	p.allow("geolocation", true)
	p.allow("persistent-storage", p.set.persist)
	p.Page = p.newPage(root)
}

// Promise lets the browser promise to keep what is stored the next time it is asked, or not.
func (p *Phone) Promise(yes bool) { p.t.Helper(); p.allow("persistent-storage", yes) }

// NewTab opens another tab of the same browser.
func (p *Phone) NewTab() *Page {
	p.t.Helper()
	ctx, stop := chromedp.NewContext(p.root)
	p.t.Cleanup(stop)
	return p.newPage(ctx)
}

// Downloads lets pages save files, and names the folder into which they go.
func (p *Phone) Downloads() (dir string) {
	p.t.Helper()
	dir = p.t.TempDir()
	_, err := chromedp.CallBrowser(p.root, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{
		Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: dir})
	if err != nil {
		p.t.Fatal(err)
	}
	return dir
}

// Close ends the browser as a person does; what it keeps for later it writes.
func (p *Phone) Close() {
	p.t.Helper()
	if !p.running {
		return
	}
	if err := chromedp.Cancel(p.root); err != nil {
		p.t.Logf("closing the browser: %v", err)
	}
	p.gone()
}

// Kill ends all processes of the browser with SIGKILL at once, as an empty battery does.
func (p *Phone) Kill() {
	if !p.running {
		return
	}
	p.gone()
}

// Restart kills the browser and starts it again.
func (p *Phone) Restart() {
	p.t.Helper()
	p.Kill()
	p.Start()
}

// Processor is how many seconds of a processor the pages have used since the phone was switched on,
// their workers included.
func (p *Phone) Processor() (seconds float64) {
	p.t.Helper()
	got, err := chromedp.CallBrowser(p.root, systeminfo.GetProcessInfo, cdp.Empty{})
	if err != nil {
		p.t.Fatal(err)
	}
	for _, one := range got.ProcessInfo {
		if one.Type == "renderer" {
			seconds += one.CPUTime
		}
	}
	return seconds
}

// Profile is the folder in which the browser keeps all that it stores.
func (p *Phone) Profile() string { return p.profile }

// gone kills what is left of the browser and waits until there is nothing more.
func (p *Phone) gone() {
	p.running = false
	for quiet, deadline := 0, time.Now().Add(10*time.Second); quiet < 3 && time.Now().Before(deadline); time.Sleep(5 * time.Millisecond) {
		quiet++
		for _, pid := range processesOf(p.profile) {
			_ = syscall.Kill(pid, syscall.SIGKILL) // it may be gone by now
			quiet = 0
		}
	}
	p.leave()
}

// processesOf finds the processes that were started with a profile folder, which Chromium
// names on the command line of every one of its processes.
func processesOf(profile string) []int {
	var pids []int
	want := []byte("--user-data-dir=" + profile)
	files, _ := filepath.Glob("/proc/[0-9]*/cmdline") // the pattern is valid
	for _, file := range files {
		line, err := os.ReadFile(file)
		if err != nil {
			continue // the process has ended meanwhile
		}
		for arg := range bytes.SplitSeq(line, []byte{0}) {
			if pid, err := strconv.Atoi(filepath.Base(filepath.Dir(file))); err == nil && bytes.Equal(arg, want) {
				pids = append(pids, pid)
			}
		}
	}
	return pids
}
