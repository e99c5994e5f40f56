package offline

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// Chromium has no reader of QR codes on this system, as it has on phones. In its place this
// gives the page's picture of the camera to the test, and answers what zbar, another's
// reader, reads in it: the camera, its picture and all of the page's own part are real.
const zbarReads = `(() => {
	globalThis.answers = [];
	globalThis.BarcodeDetector = class {
		static async getSupportedFormats() { return ["qr_code"]; }
		async detect(video) {
			const picture = document.createElement("canvas");
			[picture.width, picture.height] = [video.videoWidth, video.videoHeight];
			picture.getContext("2d").drawImage(video, 0, 0);
			globalThis.picture = picture.toDataURL("image/png");
			return globalThis.answers.splice(0).map(rawValue => ({rawValue}));
		}
	};
})()`

// What 'headcut enrol' prints is held before a phone's camera, first a code of something
// else: the page passes over that one, and enrols with the office's.
func TestEnrolByScanning(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	office.Stop()
	printed := printedCode(t, office)
	office.Start()
	film := filepath.Join(t.TempDir(), "camera.y4m")
	code := blocks(t, printed)
	if err := os.WriteFile(film, filmOf(nil, code), 0o644); err != nil {
		t.Fatal(err)
	}
	p := phone.New(t, office, phone.Durable(), phone.Flag("use-fake-device-for-media-stream", true),
		phone.Flag("use-fake-ui-for-media-stream", true), phone.Flag("use-file-for-fake-video-capture", film))
	p.At(here)
	p.Open("/field/")
	p.WaitHeading("Enrol")
	if !phone.Eval[bool](p.Page, `"BarcodeDetector" in globalThis`) {
		p.WaitText("This browser cannot scan codes. Type the code,")
		if p.Has("Scan the code") {
			t.Error("a browser that cannot scan offers to")
		}
		p.Screenshot("cannot-scan")
		p.CheckFit("a browser that cannot scan")
	}
	p.BeforeScripts(zbarReads)
	p.Reload()
	p.Tap("Scan the code")
	p.WaitText("Hold the phone so that the office's code is in the picture.")
	phone.Eval[bool](p.Page, `(answers.push("https://shop.example/tyres"), true)`)
	p.WaitSaid("That is not a code from the office.")
	p.Screenshot("scanning")
	p.CheckFit("scanning")
	text := ""
	for deadline := time.Now().Add(phone.Patience); text == ""; time.Sleep(100 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatal("zbar reads nothing in the pictures of the camera")
		}
		text = readByZbar(t, phone.Eval[string](p.Page, `globalThis.picture ?? ""`))
	}
	if want := office.URL + "/field/#/enrol/"; !strings.HasPrefix(text, want) {
		t.Fatalf("the code printed says %q, want it to begin with %q", text, want)
	}
	phone.Eval[bool](p.Page, fmt.Sprintf(`(answers.push(%q), true)`, text))
	p.WaitFor(fmt.Sprintf(`document.querySelector("input")?.value === %q`, strings.ToUpper(text[strings.LastIndex(text, "/")+1:])))
	if on := phone.Eval[bool](p.Page, `document.querySelector("video") !== null`); on {
		t.Error("the camera is still shown")
	}
	p.Tap("Enrol this phone")
	p.WaitHeading(property)
}

// The browser asks whether the page may use the camera, and nobody answers: the page says so, and
// the code is typed instead.
func TestScannerWhoseQuestionIsOpen(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := phone.New(t, office, phone.Durable())
	p.At(here)
	p.BeforeScripts(zbarReads + `; MediaDevices.prototype.getUserMedia = () => new Promise(() => {})`)
	p.Open("/field/")
	p.Tap("Scan the code")
	p.WaitText("Waiting for the camera. If the browser asks whether this page may use it, allow it, or type the code.")
	p.CheckFit("a scanner that waits")
	p.Screenshot("scanner-waits")
	p.Tap("Type it instead")
	p.Type("Code", office.Invite(property, "R. Field"))
	p.Tap("Enrol this phone")
	p.WaitHeading(property)
}

// printedCode is what 'headcut enrol' prints for a phone of an office that is down.
func printedCode(t *testing.T, office *phone.Office) string {
	t.Helper()
	enrol := exec.Command("go", "run", "./server/headcut", "enrol", "--data", office.Data(), "--property", property, "--author", "R. Field")
	enrol.Dir = filepath.Dir(phone.Viewer())
	out, err := enrol.Output()
	if err != nil {
		t.Fatalf("headcut enrol: %v: %s", err, out)
	}
	return string(out)
}

// blocks are the modules of the code that was printed in half blocks, true for dark.
func blocks(t *testing.T, printed string) (dark [][]bool) {
	t.Helper()
	for line := range strings.SplitSeq(printed, "\n") {
		if !strings.ContainsAny(line, "█▀▄") && strings.TrimSpace(line) != "" || line == "" {
			continue
		}
		var upper, lower []bool
		for _, r := range line {
			upper, lower = append(upper, r == '█' || r == '▀'), append(lower, r == '█' || r == '▄')
		}
		dark = append(dark, upper, lower)
	}
	if len(dark) < 29 {
		t.Fatalf("headcut enrol prints no code: %s", printed)
	}
	return dark
}

// filmOf is a film of a camera that sees a white wall and then the code, in YUV4MPEG2.
func filmOf(before, code [][]bool) []byte {
	const width, height, frames = 640, 480, 20
	var b bytes.Buffer
	fmt.Fprintf(&b, "YUV4MPEG2 W%d H%d F10:1 Ip A1:1 C420jpeg\n", width, height)
	for _, seen := range [][][]bool{before, code} {
		luma := bytes.Repeat([]byte{235}, width*height)
		dot := height / max(len(code), 1)
		for row, modules := range seen {
			for column, dark := range modules {
				for y := range dot {
					for x := 0; dark && x < dot; x++ {
						luma[(row*dot+y)*width+column*dot+x] = 16
					}
				}
			}
		}
		for range frames {
			b.WriteString("FRAME\n")
			b.Write(luma)
			b.Write(bytes.Repeat([]byte{128}, width*height/2))
		}
	}
	return b.Bytes()
}

// readByZbar is the text of the code in a picture, "" when there is none.
func readByZbar(t *testing.T, picture string) string {
	t.Helper()
	if _, err := exec.LookPath("zbarimg"); err != nil {
		t.Fatal("zbarimg is not installed: run make test, which installs it")
	}
	raw, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(picture, "data:image/png;base64,"))
	if err != nil || len(raw) == 0 {
		return ""
	}
	file := filepath.Join(t.TempDir(), "seen.png")
	if err := os.WriteFile(file, raw, 0o644); err != nil {
		t.Fatal(err)
	}
	out, _ := exec.Command("zbarimg", "--quiet", "--raw", "--nodbus", file).Output() // it fails where there is no code
	return strings.TrimSpace(string(out))
}
