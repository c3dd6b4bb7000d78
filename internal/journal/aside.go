package journal

import (
	"bytes"
	"crypto/sha256"
	"fmt"

	"go.etcd.io/bbolt"
)

// checkAside holds keys and values of Put to the limits.
func checkAside(key string, value []byte) error {
	if key == "" || len(key) > MaxKey {
		return fmt.Errorf("the key %q has %d bytes: 1 to %d are allowed", shown(key), len(key), MaxKey)
	}
	if len(value) > MaxAside {
		return fmt.Errorf("the value of %s has %d bytes, more than %d", key, len(value), MaxAside)
	}
	return nil
}

// withSum puts a sum before an aside's value, which no chain of hashes covers.
func withSum(key string, value []byte) []byte {
	sum := sumOf(key, value)
	return append(sum[:], value...)
}

// withoutSum returns a copy of the value that withSum was given.
func withoutSum(key string, kept []byte) ([]byte, error) {
	if kept == nil {
		return nil, nil
	}
	if len(kept) >= sha256.Size {
		value := kept[sha256.Size:]
		if sum := sumOf(key, value); bytes.Equal(sum[:], kept[:sha256.Size]) {
			return append([]byte{}, value...), nil
		}
	}
	return nil, &DamageError{0, fmt.Sprintf("the aside %q is not as it was put", shown(key))}
}

func sumOf(key string, value []byte) [sha256.Size]byte {
	both := appendField(nil, key)
	return sha256.Sum256(append(both, value...))
}

// checkAsides reads every aside.
func (s *Store) checkAsides() error {
	return s.view(func(tx *bbolt.Tx) error {
		return tx.Bucket(bucketAside).ForEach(func(key, kept []byte) error {
			_, err := withoutSum(string(key), kept)
			return err
		})
	})
}
