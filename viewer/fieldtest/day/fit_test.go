package day

import (
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// Every screen of these, as an eye, a gloved thumb and a screen reader meet it: on a usual
// phone, on the smallest one, and with text of twice the size.
func TestScreensFitTheHand(t *testing.T) {
	t.Parallel()
	for _, c := range phone.Hands {
		t.Run(c.Name, func(t *testing.T) {
			office := phone.NewOffice(t)
			p := phone.New(t, office, phone.Durable(), phone.Size(c.Width, c.Height))
			p.At(here)
			p.Open("/field/")
			if c.Big {
				p.BigText()
			}
			look := func(name string) {
				t.Helper()
				p.CheckFit(name)
				p.Screenshot(c.Name + "-" + name)
			}
			p.WaitHeading("Enrol")
			look("enrol")
			p.Go("#/enrol/" + office.Invite("Stony Block", "R. Field"))
			p.Tap("Enrol this phone")
			p.WaitHeading("Stony Block")
			p.WaitText("The property is on this phone")
			look("load")
			p.Tap("Start")
			p.WaitText("Nothing recorded today yet")
			look("home-empty")
			p.At(here) // a position of a minute ago is none
			p.Tap("Mark")
			p.WaitFor(placed)
			look("mark")
			p.Tap("Check dam")
			p.WaitSaid("Check dam saved")
			look("form")
			p.TapSelector("summary")
			p.WaitText("Chainage")
			look("form-more")
			p.Type("Crest above bed", "60")
			p.Tap("Save")
			p.WaitText("60 is out of range: give 0 to 10 m")
			look("form-wrong")
			p.Type("Crest above bed", "0.5")
			p.Tap("By tape")
			p.Tap("Save")
			p.WaitHeading("Stony Block")
			look("home")
			p.At(phone.Fix{Lon: here.Lon + 0.003, Lat: here.Lat - 0.002, AccuracyM: 12})
			p.TapSelector(".list a")
			p.WaitText("north-west")
			look("thing")
			p.Tap("Edit")
			p.WaitHeading("Edit check dam")
			look("edit")
			p.Go("#/status")
			p.WaitText("opens and computes with no signal")
			p.WaitText("the browser only guesses") // of the room there is
			look("status")
			phone.Eval[bool](p.Page, `([...document.querySelectorAll("h2")].find(h => h.innerText === "Room on the phone").scrollIntoView(), true)`)
			p.Screenshot(c.Name + "-status-room")
		})
	}
}

// Nothing of the page waits for a pointer that hovers: no style and no title.
func TestNothingNeedsAHoveringPointer(t *testing.T) {
	t.Parallel()
	styles, err := filepath.Glob("../../src/field/*.css")
	more, err2 := filepath.Glob("../../src/field/*/*.css")
	controls, err4 := filepath.Glob("../../src/ui/*")
	charts, err5 := filepath.Glob("../../src/map/*")
	scripts, err3 := filepath.Glob("../../src/field/*/*.tsx")
	if err := errors.Join(err, err2, err3, err4, err5); err != nil || len(styles) == 0 || len(controls) == 0 || len(charts) == 0 || len(scripts) == 0 {
		t.Fatalf("%d styles and %d scripts to read: %v", len(styles), len(scripts), err)
	}
	hover := regexp.MustCompile(`:hover|\bonMouse(Enter|Over|Move)\b|\bonPointer(Enter|Over)\b|<[a-z]+ [^>]*\btitle="`)
	for _, file := range slices.Concat(styles, more, controls, charts, scripts) {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for n, line := range strings.Split(string(text), "\n") {
			if found := hover.FindString(line); found != "" {
				t.Errorf("%s:%d has %s, which a thumb cannot do", file, n+1, found)
			}
		}
	}
}
