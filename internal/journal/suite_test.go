package journal

import (
	"path/filepath"
	"testing"
)

// suite is what every journal must pass. It is run on each of them below.
var suite = []struct {
	name string
	run  func(*testing.T, Journal)
}{
	{"empty", suiteEmpty},
	{"fields come back", suiteFields},
	{"body is made compact once", suiteBody},
	{"repeat", suiteRepeat},
	{"repeat of several", suiteRepeatOfSeveral},
	{"same ID, other content", suiteDuplicate},
	{"other head", suiteConflict},
	{"all or none", suiteAllOrNone},
	{"limits", suiteLimits},
	{"read from", suiteReadFrom},
	{"visitor stops and appends", suiteVisitor},
	{"given entries are copies", suiteCopies},
	{"aside", suiteAside},
	{"concurrent appenders", suiteConcurrent},
	{"watch", suiteWatch},
	{"closed", suiteClosed},
}

func TestMemory(t *testing.T) {
	for _, c := range suite {
		t.Run(c.name, func(t *testing.T) {
			j := NewMemory()
			c.run(t, j)
			mustVerify(t, j)
		})
	}
}

func TestStore(t *testing.T) {
	for _, c := range suite {
		t.Run(c.name, func(t *testing.T) {
			j := quickStore(t)
			c.run(t, j)
			mustVerify(t, j)
		})
	}
}

// quickStore is newStore without flushing to the disk, for what is the same
// either way: a test's process does not lose its power.
func quickStore(t testing.TB) *Store {
	s := newStore(t)
	s.db.NoSync = true
	return s
}

// newStore returns an empty store in a folder that goes away with the test.
func newStore(t testing.TB) *Store {
	t.Helper()
	s, err := Open(filepath.Join(t.TempDir(), FileName))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}
