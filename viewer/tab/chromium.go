package tab

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"syscall"

	"github.com/chromedp/chromedp"
)

// shell is the browser without windows, menus and tabs to draw, which took half of the processor
// time of the tests. Debian's command starts it as a child, which a kill would leave.
const shell = "/usr/lib/chromium/chromium-headless-shell"

// Chromium is the browser's file, or an error that says how it comes onto the machine.
func Chromium() (file string, err error) {
	if file, err = exec.LookPath(shell); err != nil {
		return "", errors.New("chromium-headless-shell is not installed: run make test, which installs it")
	}
	return file, nil
}

// browsers is held open, and with it the lock on it, until the process ends.
var browsers *os.File

// Alone waits until no other package's tests use a browser: what they wait for may take long beside
// another's. Meanwhile go links the packages that come after.
var Alone = sync.OnceValue(func() error {
	root, err := Root()
	if err != nil {
		return err
	}
	if browsers, err = os.Open(filepath.Join(root, "viewer", "tab")); err != nil { // not go.mod, which go locks itself
		return err
	}
	return syscall.Flock(int(browsers.Fd()), syscall.LOCK_EX)
})

// Launch starts a Chromium that keeps itself to itself, on a profile folder, with one empty
// tab: root is that tab's and so the browser's. More options are added to the command line.
func Launch(profile string, more ...chromedp.ExecAllocatorOption) (root context.Context, leave context.CancelFunc, err error) {
	file, err := Chromium()
	if err != nil {
		return nil, nil, err
	}
	if err := Alone(); err != nil {
		return nil, nil, err
	}
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(file), chromedp.UserDataDir(profile),
		chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true), chromedp.Flag("hide-scrollbars", true), chromedp.Flag("disable-quic", true),
	}
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), append(options, more...)...)
	root, stop := chromedp.NewContext(alloc)
	leave = func() { stop(); stopAlloc() }
	if err := chromedp.Do(root); err != nil {
		leave()
		return nil, nil, fmt.Errorf("chromium does not start: %w", err)
	}
	return root, leave, nil
}

// Root is the folder of the module in which the test runs.
func Root() (dir string, err error) {
	if dir, err = os.Getwd(); err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", errors.New("the test runs outside the module: there is no go.mod above it")
		}
		dir = up
	}
}

// Built tells that viewer/dist, viewer/wasm/built and bin/headcut are of the sources as they are:
// make built them a moment ago for all packages, each of which would take ten seconds and more.
func Built() bool { return os.Getenv("HEADCUT_BUILT") != "" }
