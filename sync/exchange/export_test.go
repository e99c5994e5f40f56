package exchange

// The limits that tests go up to.
const (
	StrangersOfAddress    = strangersOfAddress
	StrangersLinger       = strangersLinger
	ConversationsOfDevice = conversationsOfDevice
	BadFrames             = badFrames
	HelloBytes            = helloBytes
	HelloControls         = helloControls
)
