package register

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// later is a play that reaches the server so many minutes after the others.
type later struct {
	play
	after int
}

func (l later) numbered(n int) Numbered {
	e := l.play.numbered(n)
	e.Arrived = ArrivedAt(arrival.Add(timeMinutes(l.after)))
	e.Capped = Capped(e.Entry.Stamp, e.Arrived.Time())
	return e
}

// TestClaimedToHaveSeen: an entry that says it saw more of a device than that has written hides
// nothing of what the device writes afterwards, be the claim its own, inherited by an office's
// edit, or one of copies; nor does the highest stamp keep it above who saw it.
func TestClaimedToHaveSeen(t *testing.T) {
	const hour = 60
	highest := fmt.Sprint(uint64(1)<<53 - 1)
	first := later{play{"a", 1, 0, "", "x=1"}, 0}
	for name, c := range map[string]struct {
		history []later
		want    string
	}{
		"a field set": {[]later{first, {play{"c", 1, 1, "a99999", "x=2"}, 1}, {play{"a", 2, hour, "", "x=3"}, hour}}, "x=3 x(a2:3 c1:2)"},
		"the highest number": {[]later{first, {play{"c", 1, 1, "a" + highest, "x=2"}, 1}, {play{"a", 2, hour, "", "x=3"}, hour}, {play{"a", 3, hour + 1, "", "x=4"}, 2 * hour}},
			"x=4 x(a3:4 c1:2)"},
		"an office's edit over it": {[]later{first, {play{"c", 1, 1, "a" + highest, "y=2"}, 1}, {play{"o", 1, 2, "a1 c1", "x=5"}, 2}, {play{"a", 2, hour, "", "x=3"}, hour}},
			"x=3 y=2 x(a2:3 o1:5)"},
		"its device's next entry": {[]later{first, {play{"c", 1, 1, "a" + highest, "y=2"}, 1}, {play{"c", 2, 2, "", "x=5"}, 2}, {play{"a", 2, hour, "", "x=3"}, hour}},
			"x=3 y=2 x(a2:3 c2:5)"},
		"a strike": {[]later{first, {play{"c", 1, 1, "a" + highest, "strike"}, 1}, {play{"a", 2, hour, "", "x=3"}, hour}}, `x=3 struck strike(c1:true a2:{"x":3})`},
		"a later entry under a clock set back": {[]later{first, {play{"c", 1, 1, "a99999", "x=2"}, 1}, {play{"a", 2, hour, "", "x=3"}, hour}, {play{"a", 3, -hour, "", "x=4"}, hour}},
			"x=4 x(a3:4 c1:2)"},
		"a minute later":          {[]later{first, {play{"c", 1, 1, "a99999", "x=2"}, 1}, {play{"a", 2, 2, "", "x=3"}, 2}}, "x=3 x(a2:3 c1:2)"},
		"in the same millisecond": {[]later{first, {play{"c", 1, 1, "a99999", "x=2"}, 1}, {play{"a", 2, 1, "", "x=3"}, 1}}, "x=2 x(c1:2 a2:3)"},
		"exactly the next number": {[]later{{play{"c", 1, 1, "a1", "x=2"}, 1}, {play{"a", 1, hour, "", "x=3"}, hour}}, "x=3 x(a1:3 c1:2)"},
		"a copy's number":         {[]later{{play{"o", 1, 1, "a1", "x=2"}, 1}, {play{"copy-00000000-a", 1, hour, "", "x=3"}, hour}}, "x=3 x(copy-00000000-a1:3 o1:2)"},
		"who saw it":              {[]later{first, {play{"c", 1, 1, "a99999", "x=2"}, 1}, {play{"a", 2, hour, "c1", "x=3"}, hour}}, "x=3"},
	} {
		t.Run(name, func(t *testing.T) {
			var all []Numbered
			for i, l := range c.history {
				all = append(all, l.numbered(i+1))
			}
			sameBothWays(t, all, c.want)
		})
	}
}

// TestSeenAheadOfItsWriter: after a restore a phone sends again what saw an entry ahead of the
// phone that wrote that: it still saw it, however late the other comes.
func TestSeenAheadOfItsWriter(t *testing.T) {
	const day = 24 * 60
	sameBothWays(t, []Numbered{later{play{"b", 1, 2, "a2", "x=2"}, day}.numbered(1), later{play{"a", 1, 0, "", "x=0"}, 9 * day}.numbered(2),
		later{play{"a", 2, 1, "", "x=1"}, 9 * day}.numbered(3)}, "x=2")
	// So it does under a server whose clock was set back.
	sameBothWays(t, []Numbered{later{play{"a", 1, 0, "", "x=1"}, 0}.numbered(1), later{play{"b", 1, 1, "a1", "x=2"}, -999 * day}.numbered(2)}, "x=2")
}

// TestWrittenAfter: only an entry that came later, or has not come, and whose stamp is not before the
// millisecond in which the other came, was not there to be seen.
func TestWrittenAfter(t *testing.T) {
	came := arrival.Add(time.Minute)
	other := Numbered{N: 5, Arrived: ArrivedAt(came)}
	at := StampAt(came)
	for name, c := range map[string]struct {
		n, other Numbered
		want     bool
	}{
		"later, by the stamp too":         {Numbered{N: 6, Arrived: ArrivedAt(came) + 1, Capped: at + 1}, other, true},
		"stamped as the other came":       {Numbered{N: 6, Arrived: ArrivedAt(came) + 1, Capped: at}, other, true},
		"stamped before":                  {Numbered{N: 6, Arrived: ArrivedAt(came) + 1, Capped: at - 1}, other, false},
		"came before":                     {Numbered{N: 4, Arrived: ArrivedAt(came) + 1, Capped: at + 1}, other, false},
		"came before, in one instant":     {Numbered{N: 4, Arrived: ArrivedAt(came), Capped: at + 1}, other, false},
		"came after, in one instant":      {Numbered{N: 6, Arrived: ArrivedAt(came), Capped: at}, other, true},
		"came after, by a clock set back": {Numbered{N: 6, Arrived: ArrivedAt(came) - 1, Capped: at}, other, false},
		"not sent yet":                    {Numbered{Capped: at}, other, true},
		"not sent, stamped before":        {Numbered{Capped: at - 1}, other, false},
		"itself":                          {other, other, false},
		"of one that is not sent":         {Numbered{N: 6, Arrived: ArrivedAt(came) + 1, Capped: at + 1}, Numbered{Arrived: ArrivedAt(came)}, false},
		"of one whose day is not kept":    {Numbered{N: 6, Arrived: ArrivedAt(came) + 1, Capped: at + 1}, Numbered{N: 5}, false},
	} {
		if got := c.n.WrittenAfter(&c.other); got != c.want {
			t.Errorf("%s: written after is %t", name, got)
		}
	}
}

// TestTheHighestStamp counts five minutes ahead, and who saw it stands above it.
func TestTheHighestStamp(t *testing.T) {
	top := play{"c", 1, 0, "", "x=2"}.numbered(1)
	top.Entry.Stamp = math.MaxUint64
	top.Capped = Capped(top.Entry.Stamp, top.Arrived.Time())
	sameBothWays(t, []Numbered{top, later{play{"a", 1, -9, "c1", "x=1"}, 1}.numbered(2)}, "x=1")
	if next := Next(applied([]Numbered{top}).Stamp(), arrival); next.Time().Sub(arrival) > LeadAllowed+time.Second {
		t.Errorf("the next stamp after the highest is of %v, want five minutes after %v", next.Time(), arrival)
	}
}

// TestNotYetSentIsNotSeen: on the phone that wrote it, what has no number yet is not hidden by who
// claims to have seen it.
func TestNotYetSentIsNotSeen(t *testing.T) {
	own := later{play{"a", 2, 60, "", "x=3"}, 60}.numbered(0)
	own.Arrived, own.Capped = 0, own.Entry.Stamp
	all := []Numbered{later{play{"a", 1, 0, "", "x=1"}, 0}.numbered(1), own, later{play{"c", 1, 1, "a99999", "x=2"}, 1}.numbered(2)}
	if got, want := summary(Fold("f", all)), "x=3 x(a2:3 c1:2)"; got != want {
		t.Errorf("folds to %s, want %s", got, want)
	}
}

// sameBothWays folds entries at once and one by one, byte for byte the same.
func sameBothWays(t *testing.T, all []Numbered, want string) {
	t.Helper()
	if got := summary(Fold("f", all)); got != want {
		t.Errorf("folds to %s, want %s", got, want)
	}
	for i := range all {
		if got, want := string(applied(all[:i+1]).Encode()), string(Gather("f", all[:i+1]).Encode()); got != want {
			t.Errorf("one by one, the first %d fold to\n%s\nwant\n%s", i+1, got, want)
		}
	}
}

// TestAnyClaimFoldsAlike: whatever entries say they saw, and however clocks and arrivals are off,
// folding one by one in the order of a register gives what folding at once does.
func TestAnyClaimFoldsAlike(t *testing.T) {
	devices := []string{"a", "b", "c", "copy-00000000-a"}
	hidden := 0
	for seed := range uint64(4000) {
		random := rand.New(rand.NewPCG(seed, 10))
		written := map[string]uint64{}
		var all []Numbered
		arrived := 0
		for n := range 1 + random.IntN(9) {
			arrived += random.IntN(4) * random.IntN(9)
			device := devices[random.IntN(len(devices))]
			written[device] += 1 + uint64(random.IntN(2))
			p := play{"a", written[device], arrived - random.IntN(40) + random.IntN(8), "", "x=" + fmt.Sprint(random.IntN(4))}
			if random.IntN(5) == 0 {
				p.says = []string{"strike", "restore"}[random.IntN(2)]
			}
			one := later{p, arrived}.numbered(n + 1)
			one.Entry.Device, one.Entry.ID = device, testID(string(rune('a'+len(all))), uint64(n))
			one.Entry.Saw = map[string]uint64{}
			for _, other := range devices {
				if other != device && CopiedFrom(device) != other && random.IntN(2) == 0 { // a copy says no more than was here
					one.Entry.Saw[other] = 1 + uint64(random.IntN(6))*uint64(random.IntN(6))
				}
			}
			all = append(all, one)
		}
		s := NewState("f")
		for i, one := range all {
			if !s.Apply(one) {
				s = Gather("f", all[:i+1])
			}
			got, want := string(s.Encode()), string(Gather("f", all[:i+1]).Encode())
			if got != want {
				t.Fatalf("seed %d: one by one, the first %d of %+v fold to\n%q\nwant\n%q", seed, i+1, all, got, want)
			}
			if s, err := DecodeState("f", []byte(got)); err != nil || string(s.Encode()) != want {
				t.Fatalf("seed %d: the state reads as %v, %v", seed, s, err)
			}
		}
		for _, n := range newHistory("f", all).nodes {
			for _, one := range all {
				if one.Entry.ID == n.Entry.ID && !maps.Equal(one.Entry.Saw, n.Entry.Saw) {
					hidden++
				}
			}
		}
	}
	if hidden < 500 {
		t.Errorf("only %d claims of 4000 histories were held down: the histories do not try it", hidden)
	}
}
