package device_test

import (
	"fmt"
	"testing"
	"time"

	"headcut/sync/device"
)

// BenchmarkCapture is one capture, durable on the device.
func BenchmarkCapture(b *testing.B) {
	of := startOffice(b, officeOptions{})
	d := enrolled(b, of.url)
	for b.Loop() {
		mark(b, d, "peg")
	}
}

// BenchmarkOfficersDay sends a day of 2,000 entries, captured offline, to the server and
// pulls it back: everything durable there and here. The goal is 2 s on two cores.
func BenchmarkOfficersDay(b *testing.B) {
	const entries = 2000
	for b.Loop() {
		b.StopTimer()
		of := startOffice(b, officeOptions{})
		d := enrolled(b, of.url)
		for i := range entries {
			must(b, d.Set(creek, fmt.Sprintf("head-%03d", i%400), device.Fields{"kind": "gully-head", "headDepthM": float64(i%300) / 100,
				"notes": fmt.Sprint("undercut, roots exposed, capture ", i), "observedOn": "2026-03-02"}))
		}
		b.StartTimer()
		began := time.Now()
		must(b, d.Sync(b.Context()))
		b.ReportMetric(time.Since(began).Seconds(), "s/day")
		b.StopTimer()
		if s, err := d.Status(creek); err != nil || s.Waiting != 0 || s.N != entries {
			b.Fatalf("after the day: got %+v, %v", s, err)
		}
		must(b, d.Close())
		must(b, of.close())
		b.StartTimer()
	}
}
