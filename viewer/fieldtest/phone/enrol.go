package phone

// Enrol opens the address of a code where the phone stands, enrols it, and waits for the page
// of the property.
func (p *Phone) Enrol(property, code string, at Fix) {
	p.t.Helper()
	p.At(at)
	p.Open("/field/#/enrol/" + code)
	p.Tap("Enrol this phone")
	p.WaitHeading(property)
}
