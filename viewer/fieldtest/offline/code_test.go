package offline

import (
	"strings"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// What is wrong with a code is told, with what to do, and the way on stays open.
func TestCodesThatDoNotWork(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	used, late := office.Invite(property, "R. Field"), office.Invite(property, "R. Field")
	other := phone.New(t, office, phone.Durable())
	other.Open("/field/#/enrol/" + used)
	other.Tap("Enrol this phone")
	other.WaitHeading(property)
	p := phone.New(t, office, phone.Durable())
	p.At(here)
	p.Expect("403") // browsers log an answer that refuses
	p.Open("/field/")
	refused := func(name, code, what, todo string) {
		t.Helper()
		p.Type("Code", code)
		p.Tap("Enrol this phone")
		p.WaitText(what + " " + todo)
		p.WaitSaid(what)
		p.Screenshot("code-" + name)
		p.CheckFit("a code that is " + name)
		if got := phone.Eval[string](p.Page, `document.querySelector("input").value`); got != code {
			t.Errorf("after a code that is %s the field holds %q, want what was typed", name, got)
		}
	}
	refused("wrong", "AAAAA-BBBBB", "This code is not known.", "Type it again as it was given; each works once.")
	p.Type("Code", "CCCCC-DDDDD") // nothing of the code before stands beside it
	p.WaitGone("This code is not known.")
	p.Tap("Enrol this phone")
	p.WaitText("This code is not known.")
	p.Go("#/enrol/" + used) // nor beside one that came by a link
	p.WaitGone("This code is not known.")
	refused("used", used, "This code has been used.", "Ask the office for a new one.")
	office.Stop()
	office.SetClock(25 * time.Hour)
	office.Start()
	refused("expired", late, "This code has expired.", "Ask the office for a new one.")
	office.Kill()
	refused("unheard", late, "The server does not answer.", "Enrol where there is signal. After that the page works without.")
	office.Start()
	p.Type("Code", office.Invite(property, "R. Field"))
	p.Tap("Enrol this phone")
	p.WaitHeading(property)
}

// The office's link goes straight to its code; only a phone that came without one is asked
// whether this is the right address.
func TestEnrolLinkGoesStraightToItsCode(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	p := phone.New(t, office, phone.Durable())
	p.At(here)
	p.Open("/field/#/enrol/" + code)
	p.WaitText("The code from the office is filled in.")
	first := phone.Eval[string](p.Page, `document.querySelector(".sheet").innerText`)
	for _, words := range []string{"There is no data here", "right address", "another address", "cannot scan"} {
		if strings.Contains(first, words) {
			t.Errorf("the page of the link says %q:\n%s", words, first)
		}
	}
	if got := phone.Eval[string](p.Page, `document.querySelector("input").value`); got != strings.ToUpper(code) {
		t.Errorf("the field holds %q, want %s", got, code)
	}
	p.Screenshot("enrol-by-link")
	p.CheckFit("enrolling by a link")
	p.Type("Code", "CCCCC-DDDDD")
	p.WaitText("If this phone recorded anything under another address, it is still there")
	p.Go("#/enrol/" + strings.ToLower(code))
	p.Reload()
	p.Tap("Enrol this phone")
	p.WaitHeading(property)
}

// A browser that has not promised to keep what is stored may drop it: the first screen and
// the status say so at every start, and what to do. One that has promised says that.
func TestPromiseToKeepIsTold(t *testing.T) {
	t.Parallel()
	const ask = "The browser has not promised to keep what is on this phone. Send or save to a file every day."
	office := phone.NewOffice(t)
	p := phone.New(t, office) // it refuses
	p.Enrol(property, office.Invite(property, "R. Field"), here)
	p.WaitText(ask)
	for range 2 { // at every start
		p.Open("/field/#/")
		p.Reload()
		p.WaitText(ask)
	}
	p.Screenshot("not-promised")
	p.CheckFit("the first screen without a promise")
	p.Go("#/status")
	p.WaitHeading("Sync status")
	p.WaitText(ask)
	p.WaitText("not promised")
	p.CheckFit("the status without a promise")
	p.Promise(true)
	p.Tap("Ask the browser again")
	p.WaitText("yes, promised")
	p.WaitGone(ask)
	p.Go("#/")
	p.WaitHeading(property)
	p.Reload()
	p.WaitText("on phone")
	p.WaitFor(`navigator.storage.persisted()`)
	if p.Comes(shown(ask), 300*time.Millisecond) {
		t.Error("the promise was given and the first screen says that it was not")
	}
}

// shown is true when the page shows these words.
func shown(words string) string {
	return `document.body.innerText.replace(/\s+/g, " ").includes("` + words + `")`
}
