package offline

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// neverAnswers is a browser that asks the officer whether to keep data, and an officer who
// does not see the question.
const neverAnswers = `StorageManager.prototype.persisted = () => Promise.resolve(false); StorageManager.prototype.persist = () => new Promise(() => {})`

// The phone is enrolled for good before the page says so: killed at the first sight of it, it
// is enrolled. Nothing waits for the browser's question.
func TestEnrolledBeforeItIsSaid(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := phone.New(t, office)
	p.At(here)
	p.BeforeScripts(neverAnswers)
	p.Open("/field/#/enrol/" + office.Invite(property, "R. Field"))
	p.Tap("Enrol this phone")
	p.WaitFor(`document.querySelector("h1")?.innerText !== "Enrol"`)
	p.Restart()
	p.At(here)
	p.Open("/field/#/load")
	p.WaitHeading(property)
	p.WaitText("The browser has not promised to keep what is on this phone.")
	p.WaitText("The property is on this phone")
	p.Screenshot("enrolled-without-promise")
	p.CheckFit("an enrolled phone without a promise")
	mark(p)
	p.WaitText("1 entry on phone")
	p.WaitText("0 not sent")
}

// The server grants the code and the answer is lost, the phone is killed: the same phone
// enrols with the same code, and no other does.
func TestEnrolmentWhoseAnswerIsLost(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	code := office.Invite(property, "R. Field")
	office.Stop()
	office.Spoil(map[string]phone.Spoil{"/enrol": phone.Unheard})
	office.Start()
	p := phone.New(t, office, phone.Durable())
	p.Open("/field/#/enrol/" + code)
	p.Tap("Enrol this phone")
	p.WaitText("The server does not answer.")
	p.Restart()
	office.Stop()
	office.Spoil(nil)
	office.Start()
	other := phone.New(t, office, phone.Durable())
	other.Expect("403")
	other.Open("/field/#/enrol/" + code)
	other.Tap("Enrol this phone")
	other.WaitText("This code has been used.")
	p.At(here)
	p.Open("/field/")
	p.WaitText("Enrolling with this code was not finished.")
	p.Screenshot("enrolling-again")
	p.CheckFit("an enrolment that was not finished")
	p.Tap("Enrol this phone")
	p.WaitHeading(property)
	mark(p)
	p.WaitText("1 entry on phone")
	p.WaitText("0 not sent")
	wantOnce(t, office, 1)
}
