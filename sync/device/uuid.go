package device

import (
	"encoding/binary"
	"fmt"
	"io"

	"github.com/google/uuid"

	"headcut/sync/register"
)

// newID makes a UUIDv7 (RFC 9562 section 5.7) from the device's own clock and randomness.
// The library's reads the machine's clock, which tests could not set.
func (d *Device) newID() (register.ID, error) {
	var id uuid.UUID
	if _, err := io.ReadFull(d.o.Random, id[6:]); err != nil {
		return "", fmt.Errorf("no randomness for an id: %w", err)
	}
	var ms [8]byte
	binary.BigEndian.PutUint64(ms[:], uint64(max(d.o.Now().UnixMilli(), 0)))
	copy(id[:6], ms[2:])
	id[6] = 0x70 | id[6]&0x0f
	id[8] = 0x80 | id[8]&0x3f
	return register.ID(id.String()), nil
}
