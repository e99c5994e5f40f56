package engines

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// webKit is a browser of WebKitGTK, driven as the W3C's WebDriver has it.
type webKit struct {
	folder  string // what it keeps
	screen  *exec.Cmd
	driver  *exec.Cmd
	address string // of the session
}

func startWebKit(t testing.TB, folder string, at phone.Fix) (browser, error) {
	t.Helper()
	b := &webKit{folder: folder}
	display, err := b.startScreen()
	if err != nil {
		return nil, err
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	port := listener.Addr().(*net.TCPAddr).Port
	listener.Close()
	b.driver = exec.Command("WebKitWebDriver", "--port="+strconv.Itoa(port))
	b.driver.Env = append(os.Environ(), "DISPLAY="+display, "GDK_BACKEND=x11", "NO_AT_BRIDGE=1", "HOME="+folder, "XDG_RUNTIME_DIR="+folder,
		"GSETTINGS_BACKEND=memory", "LIBGL_ALWAYS_SOFTWARE=1")
	said, err := os.OpenFile(filepath.Join(folder, "driver.log"), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		return nil, err
	}
	defer said.Close()
	b.driver.Stdout, b.driver.Stderr = said, said
	b.driver.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	if err := b.driver.Start(); err != nil {
		return nil, fmt.Errorf("WebKitWebDriver does not start: run make test, which installs it: %w", err)
	}
	script, err := filepath.Abs("webkitbrowser.py")
	if err != nil {
		return nil, err
	}
	driver := "http://127.0.0.1:" + strconv.Itoa(port)
	args := []string{script, folder, fmt.Sprint(at.Lon), fmt.Sprint(at.Lat), fmt.Sprint(at.AccuracyM)}
	wanted := map[string]any{"capabilities": map[string]any{"alwaysMatch": map[string]any{
		"webkitgtk:browserOptions": map[string]any{"binary": "/usr/bin/python3", "args": args},
		"timeouts":                 map[string]any{"script": patience.Milliseconds(), "pageLoad": patience.Milliseconds()},
	}}}
	var session struct{ SessionID string }
	for deadline := time.Now().Add(patience); ; time.Sleep(50 * time.Millisecond) {
		err = wire(http.MethodPost, driver+"/session", wanted, &session)
		if err == nil || time.Now().After(deadline) || !strings.Contains(err.Error(), "refused") {
			break
		}
	}
	if err != nil {
		b.stop()
		return nil, err
	}
	b.address = driver + "/session/" + session.SessionID
	return b, nil
}

// startScreen starts an X server that shows nothing, and names its display.
func (b *webKit) startScreen() (display string, err error) {
	read, write, err := os.Pipe()
	if err != nil {
		return "", err
	}
	defer read.Close()
	b.screen = exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", "1280x1024x24", "-nolisten", "tcp")
	b.screen.ExtraFiles = []*os.File{write}
	if err := b.screen.Start(); err != nil {
		return "", fmt.Errorf("Xvfb does not start: run make test, which installs it: %w", err)
	}
	write.Close()
	number, err := bufio.NewReader(read).ReadString('\n')
	return ":" + strings.TrimSpace(number), err
}

// wire sends a command of WebDriver and reads its value.
func wire(method, address string, body, value any) error {
	raw, err := json.Marshal(body)
	if err != nil {
		return err
	}
	req, err := http.NewRequest(method, address, bytes.NewReader(raw))
	if err != nil {
		return err
	}
	res, err := (&http.Client{Timeout: 2 * patience}).Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	said, err := io.ReadAll(res.Body)
	if err != nil {
		return err
	}
	answer := struct{ Value json.RawMessage }{}
	if err := json.Unmarshal(said, &answer); err != nil || res.StatusCode != http.StatusOK {
		return fmt.Errorf("%s: %s", address, said)
	}
	if value == nil {
		return nil
	}
	return json.Unmarshal(answer.Value, value)
}

func (b *webKit) command(path string, body, value any) error {
	return wire(http.MethodPost, b.address+path, body, value)
}

func (b *webKit) open(address string) error {
	return b.command("/url", map[string]any{"url": address}, nil)
}

func (b *webKit) eval(expression string) (json.RawMessage, error) {
	script := `const done = arguments[arguments.length - 1]; (async () => (` + expression + `))().then(v => done({v: JSON.stringify(v)}), e => done({e: String(e)}))`
	var got struct{ V, E string }
	if err := b.command("/execute/async", map[string]any{"script": script, "args": []any{}}, &got); err != nil {
		return nil, err
	}
	if got.E != "" {
		return nil, fmt.Errorf("%.200s: %s", expression, got.E)
	}
	if got.V == "" {
		got.V = "null"
	}
	return json.RawMessage(got.V), nil
}

func (b *webKit) actions(list ...any) error {
	return b.command("/actions", map[string]any{"actions": list}, nil)
}

func (b *webKit) press(x, y float64) error { return b.actions(finger(x, y)) }

func (b *webKit) file(selector, path string) error {
	var element map[string]string
	if err := b.command("/element", map[string]any{"using": "css selector", "value": selector}, &element); err != nil {
		return err
	}
	for _, id := range element {
		return b.command("/element/"+id+"/value", map[string]any{"text": path}, nil)
	}
	return fmt.Errorf("no element %s", selector)
}

func (b *webKit) shot() ([]byte, error) {
	var picture string
	if err := wire(http.MethodGet, b.address+"/screenshot", nil, &picture); err != nil {
		return nil, err
	}
	return base64.StdEncoding.DecodeString(picture)
}

func (b *webKit) troubles() []string { return nil }

func (b *webKit) stop() {
	if b.address != "" {
		_ = wire(http.MethodDelete, b.address, nil, nil) // it is ended below if it does not end itself
	}
	for _, one := range []*exec.Cmd{b.driver, b.screen} {
		if one == nil || one.Process == nil {
			continue
		}
		if one == b.driver {
			_ = syscall.Kill(-one.Process.Pid, syscall.SIGKILL)
		} else {
			_ = one.Process.Kill()
		}
		_ = one.Wait()
	}
}

// cache holds what HTTP says may be kept; Cache Storage lies beside it.
func (b *webKit) cache() string { return filepath.Join(b.folder, "cache", "WebKitCache") }
