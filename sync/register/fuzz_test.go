package register

import "testing"

// FuzzTexts reads stamps, hashes and fingerprints: what is taken is written back the same.
func FuzzTexts(f *testing.F) {
	stamp, _ := StampAt(arrival).MarshalText()
	f.Add(string(stamp))
	f.Add(HashOf([]byte("an entry")).String())
	f.Add("v0123456789abcdef")
	f.Fuzz(func(t *testing.T, text string) {
		var s Stamp
		if s.UnmarshalText([]byte(text)) == nil {
			if again, err := s.MarshalText(); err != nil || string(again) != text {
				t.Errorf("the stamp %q is written %q, %v", text, again, err)
			}
		}
		var h Hash
		if h.UnmarshalText([]byte(text)) == nil && h.String() != text {
			t.Errorf("the hash %q is written %q", text, h)
		}
		if p, ok := ParseFingerprint(text); ok && string(p.Append(nil)) != text {
			t.Errorf("the fingerprint %q is written %q", text, p.Append(nil))
		}
	})
}

// FuzzFolded reads a folded state as exports do, of a file that may be damaged: it never panics.
func FuzzFolded(f *testing.F) {
	s := NewState("f")
	s.Apply(play{"a", 1, 0, "", "x=1 y=2"}.numbered(1))
	s.Apply(play{"b", 1, 1, "a1", "x=3"}.numbered(2))
	f.Add(s.Encode())
	var reader FoldedReader
	f.Fuzz(func(t *testing.T, raw []byte) {
		folded, ok, err := reader.Read("f", raw)
		if err == nil && ok && folded.Feature != "f" {
			t.Errorf("%q is read as %+v", raw, folded)
		}
	})
}
