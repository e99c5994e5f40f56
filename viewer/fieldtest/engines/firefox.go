package engines

import (
	"bufio"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/gorilla/websocket"

	"headcut/viewer/fieldtest/phone"
)

// firefox is a Firefox, driven as the W3C's WebDriver BiDi has it.
type firefox struct {
	profile string
	run     *exec.Cmd
	socket  *websocket.Conn
	context string // of its one tab

	mu      sync.Mutex
	last    int
	waiting map[int]chan biDiAnswer
	heard   []string // errors that pages did not catch
}

type biDiAnswer struct {
	Type    string
	ID      int
	Result  json.RawMessage
	Error   string
	Message string
	Method  string
	Params  struct{ Level, Text, Type string }
}

// settings keep the browser to itself, let it say where it is and give it a made-up camera. The
// questions whether a page may keep its data or use the camera stay: nobody answers them.
const settings = `user_pref("media.navigator.streams.fake", true);
user_pref("permissions.default.geo", 1);
user_pref("app.update.enabled", false);
user_pref("browser.shell.checkDefaultBrowser", false);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("toolkit.telemetry.enabled", false);
user_pref("network.captive-portal-service.enabled", false);
user_pref("network.connectivity-service.enabled", false);
user_pref("browser.safebrowsing.malware.enabled", false);
user_pref("browser.safebrowsing.phishing.enabled", false);
user_pref("services.settings.server", "data:,");
user_pref("browser.startup.page", 0);
user_pref("browser.startup.homepage_override.mstone", "ignore");
user_pref("dom.file.createInChild", true);
`

func startFirefox(t testing.TB, folder string, at phone.Fix) (browser, error) {
	t.Helper()
	b := &firefox{profile: folder, waiting: map[int]chan biDiAnswer{}}
	if err := os.WriteFile(filepath.Join(folder, "user.js"), []byte(settings), 0o600); err != nil {
		return nil, err
	}
	b.run = exec.Command("firefox-esr", "--headless", "--no-remote", "--profile", folder, "--remote-debugging-port", "0", "about:blank")
	b.run.Env = append(os.Environ(), "HOME="+folder, "MOZ_CRASHREPORTER_DISABLE=1")
	b.run.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	said, err := b.run.StderrPipe()
	if err != nil {
		return nil, err
	}
	if err := b.run.Start(); err != nil {
		return nil, fmt.Errorf("firefox-esr does not start: run make test, which installs it: %w", err)
	}
	address := ""
	lines := bufio.NewScanner(said)
	for address == "" && lines.Scan() {
		if _, found, ok := strings.Cut(lines.Text(), "WebDriver BiDi listening on "); ok {
			address = strings.TrimSpace(found)
		}
	}
	if address == "" {
		b.stop()
		return nil, errors.New("firefox-esr ended before it could be driven")
	}
	go func() {
		for lines.Scan() { // or it would stop when the pipe is full
		}
	}()
	if b.socket, _, err = websocket.DefaultDialer.Dial(address+"/session", nil); err != nil {
		b.stop()
		return nil, err
	}
	go b.listen()
	var tree struct{ Contexts []struct{ Context string } }
	for _, step := range []struct {
		method string
		params any
		into   any
	}{
		{"session.new", map[string]any{"capabilities": map[string]any{}}, nil},
		{"session.subscribe", map[string]any{"events": []string{"log.entryAdded"}}, nil},
		{"browsingContext.getTree", map[string]any{}, &tree},
	} {
		if err := b.call(step.method, step.params, step.into); err != nil {
			b.stop()
			return nil, err
		}
	}
	b.context = tree.Contexts[0].Context
	err = errors.Join(
		b.call("browsingContext.setViewport", map[string]any{"context": b.context, "viewport": map[string]any{"width": 412, "height": 800}}, nil),
		b.call("emulation.setGeolocationOverride", map[string]any{"contexts": []string{b.context},
			"coordinates": map[string]any{"latitude": at.Lat, "longitude": at.Lon, "accuracy": at.AccuracyM}}, nil))
	if err != nil {
		b.stop()
		return nil, err
	}
	return b, nil
}

func (b *firefox) listen() {
	for {
		var m biDiAnswer
		if err := b.socket.ReadJSON(&m); err != nil {
			b.mu.Lock()
			for id, waits := range b.waiting {
				close(waits)
				delete(b.waiting, id)
			}
			b.mu.Unlock()
			return
		}
		b.mu.Lock()
		if m.Type == "event" {
			if m.Params.Type == "javascript" && m.Params.Level == "error" && !strings.Contains(m.Params.Text, "establish a connection") { // there is no signal at times
				b.heard = append(b.heard, m.Params.Text)
			}
		} else if waits := b.waiting[m.ID]; waits != nil {
			waits <- m
			delete(b.waiting, m.ID)
		}
		b.mu.Unlock()
	}
}

func (b *firefox) call(method string, params, into any) error {
	b.mu.Lock()
	b.last++
	id, waits := b.last, make(chan biDiAnswer, 1)
	b.waiting[id] = waits
	err := b.socket.WriteJSON(map[string]any{"id": id, "method": method, "params": params})
	b.mu.Unlock()
	if err != nil {
		return err
	}
	select {
	case m, ok := <-waits:
		if !ok {
			return fmt.Errorf("%s: the browser has ended", method)
		}
		if m.Type == "error" {
			return fmt.Errorf("%s: %s: %s", method, m.Error, m.Message)
		}
		if into == nil {
			return nil
		}
		return json.Unmarshal(m.Result, into)
	case <-time.After(2 * patience):
		return fmt.Errorf("%s: no answer", method)
	}
}

func (b *firefox) open(address string) error {
	return b.call("browsingContext.navigate", map[string]any{"context": b.context, "url": address, "wait": "interactive"}, nil)
}

func (b *firefox) eval(expression string) (json.RawMessage, error) {
	var got struct {
		Type             string
		Result           struct{ Type, Value string }
		ExceptionDetails struct{ Text string }
	}
	err := b.call("script.evaluate", map[string]any{
		"expression": `(async () => JSON.stringify(await (` + expression + `)) ?? "null")()`, "awaitPromise": true,
		"target": map[string]any{"context": b.context},
	}, &got)
	if err == nil && got.Type != "success" {
		err = fmt.Errorf("%.200s: %s", expression, got.ExceptionDetails.Text)
	}
	return json.RawMessage(got.Result.Value), err
}

func (b *firefox) actions(list ...any) error {
	return b.call("input.performActions", map[string]any{"context": b.context, "actions": list}, nil)
}

func (b *firefox) press(x, y float64) error { return b.actions(finger(x, y)) }

func (b *firefox) file(selector, path string) error {
	var found struct{ Nodes []struct{ SharedID string } }
	err := b.call("browsingContext.locateNodes", map[string]any{"context": b.context, "locator": map[string]any{"type": "css", "value": selector}}, &found)
	if err != nil {
		return err
	}
	if len(found.Nodes) == 0 {
		return fmt.Errorf("no element %s", selector)
	}
	return b.call("input.setFiles", map[string]any{"context": b.context, "element": map[string]any{"sharedId": found.Nodes[0].SharedID}, "files": []string{path}}, nil)
}

func (b *firefox) shot() ([]byte, error) {
	var picture struct{ Data string }
	if err := b.call("browsingContext.captureScreenshot", map[string]any{"context": b.context}, &picture); err != nil {
		return nil, err
	}
	return base64.StdEncoding.DecodeString(picture.Data)
}

func (b *firefox) troubles() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.heard
}

// stop lets the browser end as when a person closes it, and kills what does not.
func (b *firefox) stop() {
	if b.socket != nil {
		_ = b.call("browser.close", map[string]any{}, nil) // the socket may close before the answer
		ended := make(chan struct{})
		go func() { _ = b.run.Wait(); close(ended) }()
		select {
		case <-ended:
		case <-time.After(20 * time.Second):
		}
		b.socket.Close()
	}
	_ = syscall.Kill(-b.run.Process.Pid, syscall.SIGKILL)
	_ = b.run.Wait()
}

func (b *firefox) cache() string { return filepath.Join(b.profile, "cache2") }
