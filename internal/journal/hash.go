package journal

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"
	"time"
)

// Hash is a SHA-256. In JSON it is 64 lower-case hexadecimal digits.
type Hash [32]byte

// String returns the 64 hexadecimal digits.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// MarshalText implements encoding.TextMarshaler.
func (h Hash) MarshalText() ([]byte, error) { return hex.AppendEncode(nil, h[:]), nil }

// UnmarshalText implements encoding.TextUnmarshaler. It takes 64 lower-case digits and nothing else.
func (h *Hash) UnmarshalText(text []byte) error {
	if len(text) != hex.EncodedLen(len(h)) {
		return fmt.Errorf("a hash has 64 hexadecimal digits, this has %d characters", len(text))
	}
	for _, c := range text {
		if (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return fmt.Errorf("a hash has the digits 0 to 9 and a to f, this has %q", c)
		}
	}
	_, err := hex.Decode(h[:], text)
	return err
}

// hashPrefix stands before the fields, so that a hash of this form can be
// taken for no other. A second form would have another number.
const hashPrefix = "croze entry 1\n"

// hashOf returns the hash that an entry ought to have: SHA-256 of the prefix
// and then of each field, in the order below, as its length in bytes, a colon,
// its bytes and a line feed. The lengths keep fields from running into each other.
func hashOf(e Entry) Hash {
	b := make([]byte, 0, 512+len(e.Body))
	b = append(b, hashPrefix...)
	b = appendField(b, e.Prev.String())
	b = appendField(b, strconv.FormatUint(e.Seq, 10))
	b = appendField(b, e.ID)
	b = appendField(b, timeText(e.RecordedAt))
	b = appendField(b, timeText(e.HappenedAt))
	b = appendField(b, e.Who)
	b = appendField(b, e.Kind)
	b = appendField(b, string(e.Body))
	return sha256.Sum256(b)
}

func appendField(b []byte, field string) []byte {
	b = strconv.AppendInt(b, int64(len(field)), 10)
	b = append(b, ':')
	b = append(b, field...)
	return append(b, '\n')
}

// timeText is the one way in which a time is written: RFC 3339 with its own
// offset, as many digits of the second as it needs, and Z for no offset.
func timeText(t time.Time) string { return t.Format(time.RFC3339Nano) }
