package offline

import (
	"strings"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// A plain-HTTP name other than this machine's is what a server in an office's network has
// without a certificate. A half-working page is possible there: nothing must be recorded.
func TestInsecureAddressRefusesToEnrol(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := phone.New(t, office)
	p.Expect("untrustworthy") // browsers log what they leave out of an insecure page
	p.OpenAt(strings.Replace(office.URL, "localhost", phone.FarName, 1) + "/field/#/enrol/" + office.Invite(property, "R. Field"))
	p.WaitText("is not secure")
	if phone.Eval[bool](p.Page, "isSecureContext") {
		t.Fatal("the browser takes the address for a secure one: this tests nothing")
	}
	if p.Has("Enrol this phone") || p.Has("Code") {
		t.Error("a phone can be enrolled at an insecure address")
	}
	p.Screenshot("insecure")
	p.CheckFit("an insecure address")
	p.Go("#/mark")
	p.WaitHeading("Cannot enrol here")
}

// Under a second address of the same server the phone finds nothing. It must say so, and
// where else to look.
func TestSecondAddressTellsWhereToLook(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := enrolled(t, office)
	mark(p)
	p.OpenAt(strings.Replace(office.URL, "localhost", "127.0.0.1", 1) + "/field/")
	p.WaitText("There is no data here. Is this the right address?")
	p.WaitText("Open " + strings.TrimPrefix(office.URL, "http://"))
	p.Screenshot("second-address")
	p.CheckFit("a second address")
	p.Tap("Open " + strings.TrimPrefix(office.URL, "http://"))
	p.WaitHeading(property)
	if got := phone.Eval[string](p.Page, "location.origin"); got != office.URL {
		t.Errorf("the link leads to %s, want %s", got, office.URL)
	}
	p.WaitText("1 entry on phone")
}

const iPhone = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.0 Mobile/15E148 Safari/604.1"

// On an iPhone a tab loses what it stores after a week, and a tab and the home screen do
// not share it: there a phone is enrolled only from the home screen.
func TestAppleTabRefusesToEnrol(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := phone.New(t, office, phone.Agent(iPhone))
	p.Open("/field/#/enrol/" + office.Invite(property, "R. Field"))
	p.WaitText("Add to Home Screen")
	if p.Has("Enrol this phone") {
		t.Error("a phone can be enrolled in a tab of an iPhone")
	}
	p.Screenshot("apple-tab")
	p.Standalone()
	p.At(here)
	p.Reload()
	p.Tap("Enrol this phone")
	p.WaitHeading(property)
}

// What the server has not had for three days is told on every screen, loudly; on an iPhone
// at the latest, which counts the days.
func TestDaysWithoutSendingAreTold(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	p := phone.New(t, office, phone.Durable(), phone.Agent(iPhone))
	p.Standalone()
	p.Enrol(property, office.Invite(property, "R. Field"), here)
	p.WaitFor(kept)
	office.Kill()
	mark(p)
	for _, c := range []struct {
		ahead time.Duration
		loud  string
	}{{2*24*time.Hour + time.Hour, ""}, {3*24*time.Hour + time.Hour, "Something on this phone has not been sent for 3 days."}, {8 * 24 * time.Hour, "Something on this phone has not been sent for 8 days."}} {
		p.SetClock(c.ahead)
		p.Open("/field/#/")
		p.Reload()
		p.WaitText("1 not sent")
		if c.loud == "" {
			if strings.Contains(p.Text(), "has not been sent") {
				t.Errorf("%v after the capture the page is loud already", c.ahead)
			}
			continue
		}
		p.WaitText(c.loud)
	}
	p.Screenshot("eight-days")
	p.CheckFit("eight days without sending")
	p.Go("#/mark")
	p.WaitText("Something on this phone has not been sent for 8 days.")
}
