package register

import (
	"fmt"
	"strconv"
	"time"
)

// Stamp is a hybrid logical clock: milliseconds since 1970 by the device's clock, pushed
// ahead of every stamp the device has seen, with a counter for events within one
// millisecond in the low bits.
type Stamp uint64

const stampCounterBits = 16

// LeadAllowed is how far ahead of its arrival a stamp may count.
const LeadAllowed = 5 * time.Minute

// ClockTolerance is how far a stamp may be from its arrival before it is told. Being that
// far behind may also mean that the entry waited on the device without signal.
const ClockTolerance = 24 * time.Hour

// StampAt is the stamp of a wall-clock instant with its counter at zero.
func StampAt(t time.Time) Stamp {
	ms := t.UnixMilli()
	if ms < 0 {
		return 0
	}
	return Stamp(ms) << stampCounterBits
}

// Time is the wall-clock part of the stamp.
func (s Stamp) Time() time.Time { return time.UnixMilli(int64(s >> stampCounterBits)).UTC() }

// Next is the stamp for an event at now by the device's clock that comes after last, the
// greatest stamp the device has made or seen.
func Next(last Stamp, now time.Time) Stamp {
	return max(StampAt(now), last+1)
}

// Capped is the stamp as it counts in a fold: held to at most LeadAllowed past the
// entry's arrival. A store fixes it when it appends.
func Capped(s Stamp, arrived time.Time) Stamp {
	return min(s, StampAt(arrived.Add(LeadAllowed)))
}

// Arrival is when an entry came to the register, in nanoseconds since 1970; 0 when that is not known.
// It is no [time.Time], whose parsing and printing would then be part of the phone's program.
type Arrival int64

// ArrivedAt is an instant as an arrival; the zero time is not known.
func ArrivedAt(t time.Time) Arrival {
	if t.IsZero() {
		return 0
	}
	return Arrival(t.UnixNano())
}

// Time is the instant, the zero time where it is not known.
func (a Arrival) Time() time.Time {
	if a == 0 {
		return time.Time{}
	}
	return time.Unix(0, int64(a))
}

// UnixMilli is the instant in milliseconds since 1970.
func (a Arrival) UnixMilli() int64 { return a.Time().UnixMilli() }

// ClockOff is how far the stamp is ahead of the entry's arrival (behind it when
// negative), zero when that is less than ClockTolerance.
func ClockOff(s Stamp, arrived time.Time) time.Duration {
	off := s.Time().Sub(arrived)
	if off.Abs() < ClockTolerance {
		return 0
	}
	return off
}

// MarshalText writes the stamp as 16 lower-case hexadecimal digits, which sort as stamps do.
func (s Stamp) MarshalText() ([]byte, error) { return fmt.Appendf(nil, "%016x", uint64(s)), nil }

// UnmarshalText reads what MarshalText writes and nothing else.
func (s *Stamp) UnmarshalText(text []byte) error {
	if !isHex(string(text), 16) {
		return fmt.Errorf("%q is not a stamp of 16 lower-case hexadecimal digits", text)
	}
	var err error
	*s, err = parseStamp(string(text))
	return err
}

func parseStamp(text string) (Stamp, error) {
	v, err := strconv.ParseUint(text, 16, 64)
	return Stamp(v), err
}
