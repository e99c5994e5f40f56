package fieldmap

import (
	"strings"
	"testing"
	"time"

	"headcut/viewer/fieldtest/phone"
)

// A phone whose owner allows only its rough position gives no place to record.
func TestRoughPositionIsRefused(t *testing.T) {
	t.Parallel()
	p := enrolled(t, phone.NewOffice(t))
	p.Go("#/line/rip-line/line")
	p.Tap("Walk")
	walk(p, 0, off(0, 0))
	rough := off(900, 0)
	rough.AccuracyM = 3000
	p.At(rough)
	p.WaitText("The phone gives its position only to within 3.0 km")
	poor := off(40, 0)
	poor.AccuracyM = 80
	p.At(poor)
	p.WaitText("GPS is too poor to record")
	p.At(off(12, 0))
	p.WaitSaid("Walking, 2 points")
	if text := p.Text(); strings.Contains(text, "only to") || strings.Contains(text, "Too poor") {
		t.Errorf("the trouble is still told after a good fix: %s", text)
	}
	p.NoFix()
	p.WaitText("No GPS position. Turn location on")
}

// An old position is not where the officer stands.
func TestOldPositionIsRefused(t *testing.T) {
	t.Parallel()
	p := phone.New(t, phone.NewOffice(t), phone.Durable())
	p.TakeReceiver()
	p.Open("/field/#/enrol/" + p.Office.Invite(property, "R. Field"))
	p.Tap("Enrol this phone")
	p.WaitHeading(property)
	p.Go("#/line/rip-line/line")
	p.Tap("Walk")
	fix := phone.Fix{Lon: 146.5, Lat: -20.25, AccuracyM: 4}
	p.Give(fix, time.Now().Add(-10*time.Minute))
	p.WaitText("The phone gave a position 10 minutes old")
	p.WaitSaid("Walking, 0 points")
	p.Give(fix, time.Now())
	p.WaitSaid("Walking, 1 point")
}
