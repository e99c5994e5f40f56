package device_test

import "testing"

// BenchmarkCapture is one capture, durable on the device.
func BenchmarkCapture(b *testing.B) {
	of := startOffice(b, officeOptions{})
	d := enrolled(b, of.url)
	for b.Loop() {
		mark(b, d, "peg")
	}
}
