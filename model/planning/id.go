package planning

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
)

// idOf is a UUID in the shape of version 8 (RFC 9562) that follows from what it stands for.
func idOf(parts ...string) string {
	digest := sha256.New()
	for _, part := range parts {
		fmt.Fprintf(digest, "%d:%s", len(part), part)
	}
	b := digest.Sum(nil)[:16]
	b[6], b[8] = b[6]&0x0f|0x80, b[8]&0x3f|0x80
	text := hex.EncodeToString(b)
	return text[:8] + "-" + text[8:12] + "-" + text[12:16] + "-" + text[16:20] + "-" + text[20:]
}
