package register

import "testing"

var sample = []byte(`{"v":1,"id":"0192f0c1-2b3c-7d4e-8f50-123456789abc","property":"p","feature":"0192f0c1-2b3c-7d4e-8f50-123456789abc","device":"tablet-1","deviceSeq":7,"stamp":"0123456789abcdef","seenAt":"2026-11-25T09:30:00+10:00","author":"A. Officer","saw":{"b":3},"set":{"kind":"check-dam","name":"Dam 4","geometry":{"type":"Point","coordinates":[147.123456,-20.123456]},"accuracyM":3.2,"status":"built","crestHeightM":0.4,"notes":"rock from the ridge, apron 1.2 m"}}`)

func BenchmarkDecode(b *testing.B) {
	b.SetBytes(int64(len(sample)))
	for b.Loop() {
		if _, err := Decode(sample); err != nil {
			b.Fatal(err)
		}
	}
}
