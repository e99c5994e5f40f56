// Package day takes an officer's phone through the screens of a day: enrolment, the first
// screen, marking, a thing, the status. It looks at each as an eye and a gloved thumb do.
package day

import (
	"testing"

	"headcut/viewer/fieldtest/phone"
)

func TestMain(m *testing.M) { phone.Main(m) }

// here is where the phones of these tests stand: nowhere in particular.
var here = phone.Fix{Lon: 146.5, Lat: -20.25, AccuracyM: 4}

// enrolled is a phone of a new office that has enrolled and stands on the first screen.
func enrolled(t *testing.T, options ...phone.Option) *phone.Phone {
	t.Helper()
	office := phone.NewOffice(t)
	p := phone.New(t, office, append([]phone.Option{phone.Durable()}, options...)...)
	enrol(p)
	return p
}

func enrol(p *phone.Phone) {
	p.Enrol("Stony Block", p.Office.Invite("Stony Block", "R. Field"), here)
	p.Go("#/")
	p.WaitText("Nothing recorded today yet")
}
