package planning

import (
	"encoding/hex"
	"hash/fnv"
	"strconv"
)

// idOf is a UUID in the shape of version 8 (RFC 9562) that follows from what it stands for, by the
// 128-bit FNV-1a hash (Fowler, Noll and Vo): a phone's program has no SHA-256.
func idOf(parts ...string) string {
	digest := fnv.New128a()
	for _, part := range parts {
		digest.Write([]byte(strconv.Itoa(len(part)) + ":" + part))
	}
	b := digest.Sum(nil)
	b[6], b[8] = b[6]&0x0f|0x80, b[8]&0x3f|0x80
	text := hex.EncodeToString(b)
	return text[:8] + "-" + text[8:12] + "-" + text[12:16] + "-" + text[16:20] + "-" + text[20:]
}
