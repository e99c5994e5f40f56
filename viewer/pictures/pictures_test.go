// Package pictures takes the pictures of the README from the demo, as a newcomer would see
// it: the real program, its addresses, a phone's width and a full screen.
//
//	make pictures
//
// takes them again; the tests alone take them into a temporary folder, so that what the README
// shows can always be taken.
package pictures

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"headcut/viewer/tab"
)

var (
	write   = flag.Bool("write", false, "put the pictures beside this file")
	program = flag.String("headcut", "", "the program whose demo is shown; without it one is built")
)

// The windows: an old phone's and a desk's.
const (
	phoneWide, phoneHigh = 390, 844
	deskWide, deskHigh   = 1280, 800
)

// heaviest is the most bytes of one picture: the README is read on slow lines too.
const heaviest = 200 << 10

func TestPictures(t *testing.T) {
	folder := t.TempDir()
	if *write {
		folder = "."
	}
	landholder, field, desk, files := demo(t)
	root, leave, err := tab.Launch(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer leave()
	open := func(width, height int64, address string) *tab.Tab {
		ctx, stop := chromedp.NewContext(root)
		t.Cleanup(stop)
		b := tab.New(t, ctx, width, height)
		b.Do(chromedp.Navigate(address))
		return b
	}
	keep := func(b *tab.Tab, name string) {
		t.Helper()
		tab.Eval[bool](b, `(document.activeElement?.blur?.(), true)`) // a hand that taps leaves no mark of focus
		shot := b.Screenshot(name)
		if len(shot) > heaviest {
			t.Errorf("%s weighs %d bytes, want at most %d", name, len(shot), heaviest)
		}
		if err := os.WriteFile(filepath.Join(folder, name+".png"), shot, 0o644); err != nil {
			t.Fatal(err)
		}
	}

	wide := open(deskWide, deskHigh, landholder)
	wide.WaitFor(`document.body.innerText.includes("Lantern Gully")`)
	wide.WaitStill()
	keep(wide, "landholder-desk")
	onPhone := open(phoneWide, phoneHigh, landholder)
	onPhone.WaitStill()
	keep(onPhone, "landholder-phone")

	press := func(b *tab.Tab, name string) {
		t.Helper()
		within := `[...document.querySelectorAll("button, a")].find((e) => e.textContent.trim() === ` + quoted(name) + ` || e.getAttribute("aria-label") === ` + quoted(name) + `)`
		b.WaitFor(`(` + within + `) !== undefined`)
		tab.Eval[bool](b, `((`+within+`).click(), true)`)
	}
	computer := open(deskWide, deskHigh, desk)
	press(computer, "Enrol this computer")
	computer.WaitFor(`[...document.querySelectorAll(".items tbody tr")].some((row) => row.innerText.includes("Lantern Gully"))`)
	computer.WaitFor(`document.querySelector("#link").innerText.includes("Connected")`)
	show(computer, tab.Eval[string](computer, `location.hash`)+"/"+gully(t, files))
	computer.WaitFor(`document.querySelector(".panel .profile .bed") !== null`)
	computer.WaitFor(`document.querySelector("#link").innerText.includes("Connected")`) // its small photos have come too
	computer.WaitStill()
	keep(computer, "desk")

	officer := open(phoneWide, phoneHigh, field)
	allowPlace(t, root, officer)
	press(officer, "Enrol this phone")
	press(officer, "Start")
	officer.WaitFor(`document.body.innerText.includes("Nothing recorded today yet")`)
	show(officer, "#/map")
	officer.WaitFor(`parseInt(document.querySelector(".map")?.dataset.drawn) > 20`) // it stands still before it has anything, too
	officer.WaitStill()
	keep(officer, "field-phone")
	show(officer, "#/thing/"+gully(t, files))
	// The screen is drawn again when what it waits for arrives, so the section is looked for and
	// brought into sight in one step, until it has stood in one place for a while.
	officer.WaitFor(`new Promise(done => {
		let still = 0, before;
		const look = () => {
			const section = document.querySelector("main svg[role=img], svg.profile");
			section?.scrollIntoView({ block: "center", behavior: "instant" });
			const now = section && document.querySelector("main").innerText + section.getBoundingClientRect().top;
			still = now && now === before ? still + 1 : 0;
			before = now;
			if (still < 10) setTimeout(look, 50); else done(true);
		};
		look();
	})`)
	keep(officer, "section-phone")
}

// show opens a screen of the field page.
func show(b *tab.Tab, route string) {
	tab.Eval[bool](b, `(location.hash = `+quoted(route)+`, true)`)
}

// gully is the id of the gully with the levelled bed, as the demo's export has it.
func gully(t *testing.T, folder string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, "sandalwood-run.geojson"))
	if err != nil {
		t.Fatal(err)
	}
	var all struct {
		Features []struct {
			ID         string
			Properties struct{ Kind, Name string }
		}
	}
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	for _, f := range all.Features {
		if f.Properties.Kind == "thalweg" && f.Properties.Name == "Lantern Gully" {
			return f.ID
		}
	}
	t.Fatalf("the export of the demo has no Lantern Gully among %d features", len(all.Features))
	return ""
}

// allowPlace puts the officer at the gully and lets the page know where she is.
func allowPlace(t *testing.T, root context.Context, b *tab.Tab) {
	t.Helper()
	if _, err := chromedp.CallBrowser(root, browser.SetPermission, browser.SetPermissionParams{
		Permission: &browser.PermissionDescriptor{Name: "geolocation"}, Setting: browser.PermissionSettingGranted}); err != nil {
		t.Fatal(err)
	}
	lat, lon, within := -19.6205, 144.3108, 4.0 // beside the gully of the demo
	b.Do(tab.Command(emulation.SetGeolocationOverride, emulation.SetGeolocationOverrideParams{Latitude: &lat, Longitude: &lon, Accuracy: &within}))
}

func quoted(text string) string { return `"` + strings.ReplaceAll(text, `"`, `\"`) + `"` }

// demo runs the program's demo until the test ends, and gives the addresses it prints and the
// folder of its files.
func demo(t *testing.T) (landholder, field, desk, folder string) {
	t.Helper()
	file := *program
	if file == "" {
		file = build(t)
	}
	folder = filepath.Join(t.TempDir(), "demo")
	cmd := exec.Command(file, "demo", "--data", folder, "--listen", "127.0.0.1:0")
	var said bytes.Buffer
	cmd.Stderr = &said
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Signal(os.Interrupt)
		_ = cmd.Wait()
	})
	for lines := bufio.NewScanner(out); lines.Scan(); {
		switch line := strings.TrimSpace(lines.Text()); {
		case strings.Contains(line, "/map/"):
			landholder = line
		case strings.Contains(line, "/field/"):
			field = line
		case strings.Contains(line, "/desk/"):
			desk = line
		}
		if landholder != "" && field != "" && desk != "" {
			go func() { _, _ = io.Copy(io.Discard, out) }()
			return landholder, field, desk, folder
		}
	}
	t.Fatalf("the demo printed no addresses: %s", said.String())
	return "", "", "", ""
}

// build makes the program with the computations for browsers in it, as make build does.
func build(t *testing.T) string {
	t.Helper()
	root, err := tab.Root()
	if err != nil {
		t.Fatal(err)
	}
	if made := filepath.Join(root, "bin", "headcut"); exists(made) {
		return made
	}
	t.Fatal("bin/headcut is not there: run make build")
	return ""
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// The README shows what is here, and each picture can be read at its size.
func TestReadmeShowsThePictures(t *testing.T) {
	root, err := tab.Root()
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	shown := map[string]bool{}
	for _, m := range regexp.MustCompile(`viewer/pictures/([a-z-]+\.png)`).FindAllStringSubmatch(string(readme), -1) {
		shown[m[1]] = true
	}
	files, err := filepath.Glob("*.png")
	if err != nil || len(files) < 4 {
		t.Fatalf("pictures %v, %v: run make pictures", files, err)
	}
	for _, name := range files {
		file, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		size, err := png.DecodeConfig(bytes.NewReader(file))
		if err != nil || size.Width != phoneWide && size.Width != deskWide {
			t.Errorf("%s is %d wide, %v; want a phone's %d or a desk's %d", name, size.Width, err, phoneWide, deskWide)
		}
		if !shown[name] {
			t.Errorf("the README does not show %s", name)
		}
		delete(shown, name)
	}
	for name := range shown {
		t.Errorf("the README shows %s, which is not here", name)
	}
}
