package offline

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

// The doors on the smallest phone, with the text twice as large as usual.
func TestDoorsFitASmallPhone(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := phone.New(t, office, phone.Size(320, 640)) // which promises nothing
	p.At(here)
	p.BigText()
	p.Expect("403")
	p.Open("/field/#/enrol/AAAAA-BBBBB")
	p.Tap("Enrol this phone")
	p.WaitText("This code is not known.")
	p.WaitFor(`(r => r && r.top < innerHeight - 56 && r.bottom > 56)(document.querySelector(".trouble")?.getBoundingClientRect())`) // it is in sight
	fits := func(name string) {
		t.Helper()
		p.Screenshot("small-" + name)
		p.CheckFit(name + " on a small phone")
	}
	fits("code")
	p.Go("#/enrol/" + office.Invite(property, "R. Field"))
	p.WaitFor(`document.querySelector("input").value !== "AAAAA-BBBBB"`)
	p.Tap("Enrol this phone")
	p.WaitHeading(property)
	p.WaitText("The browser has not promised to keep")
	fits("loading")
	p.Go("#/")
	p.WaitText("Send or save to a file every day.")
	fits("first-screen")
	p.Open("/field/#/rescue")
	p.Reload()
	p.WaitText("Everything that can be read is sent.")
	fits("rescue")
	p.BeforeScripts(`IDBFactory.prototype.open = () => { throw new DOMException("out of order", "UnknownError"); }`)
	p.Reload()
	p.WaitHeading("Nothing can be recorded now")
	fits("stopped")
	p.Tap("Save what can be read")
	p.WaitText("The browser does not give out what is on this phone.")
	fits("rescue-fails")
}
