package exchange

import "time"

// Timing relates the times after which a conversation gives up. The other end of a
// half-open connection is silent: it is noticed after Silence at the latest, whoever is
// cut off, because the server pings and the device answers.
type Timing struct {
	Ping    time.Duration // between two pings
	Silence time.Duration // without a byte from the other end: it is gone
	Write   time.Duration // for one frame to be taken by the other end
	Hello   time.Duration // for the first frame to come
	Admit   time.Duration // after which the device's rights are asked for again
	Stop    time.Duration // for the device to answer a close
}

// DefaultTiming loses one ping without harm and ends a half-open connection within 30 s.
var DefaultTiming = timingFor(10 * time.Second)

// timingFor relates all times to the ping period. The device is told the period and
// takes 5/2 of it as the longest silence too.
func timingFor(ping time.Duration) Timing {
	return Timing{
		Ping:    ping,
		Silence: ping * 5 / 2,
		Write:   ping,
		Hello:   ping,
		Admit:   ping * 3,
		Stop:    ping / 5,
	}
}

// Limits of what one device may make the server hold.
const (
	// discardBytes is how much of a frame over wire.FrameBytes is read and thrown away
	// for the sake of a clear answer; beyond it the connection is closed.
	discardBytes = 16 << 20
	// keptBytes is the largest read buffer kept between frames: most connections are idle.
	keptBytes = 4 << 10
	// outgoing is how many frames wait for the writer before the reader is held back.
	outgoing = 1
	// helloBytes is the longest hello, and helloControls how many control frames may come
	// before it.
	helloBytes, helloControls = 4 << 10, 8
	// badFrames is how many frames that cannot be read a conversation survives.
	badFrames = 16
	// comeBackWithin spreads the return of devices after a stop.
	comeBackWithin = 30 * time.Second
	// learnWithin spreads the return of devices that are to learn of a change: few at a time.
	learnWithin = 2 * time.Second
)
