package people_test

import (
	"errors"
	"testing"
	"time"

	"example.org/croze/internal/journal"
	"example.org/croze/internal/people"
)

const day = 24 * time.Hour

// goesOn says whether a session is good so long after today.
func (h home) goesOn(secret string, after time.Duration) bool {
	h.t.Helper()
	*h.now = today.Add(after)
	_, known, err := h.Who(secret)
	h.must(err)
	return known
}

func TestASessionThatIsNotUsedEnds(t *testing.T) {
	h := staffed(t)
	used, left := h.signIn("Ada", password, "192.0.2.1"), h.signIn("Ada", password, "192.0.2.1")
	if !h.goesOn(used, 6*day) {
		t.Fatal("it ended after six days")
	}
	h.reopen() // what is known of its use outlives a restart
	if h.goesOn(left, 7*day) {
		t.Error("a session that nobody used goes on after seven days")
	}
	if !h.goesOn(used, 13*day-time.Hour) {
		t.Error("a session that was used six days ago has ended")
	}
	if list, err := h.Sessions("Ada"); err != nil || len(list) != 1 || list[0].LastUse() != *h.now {
		t.Errorf("listed are %+v, %v", list, err)
	}
	if h.goesOn(used, 13*day-time.Hour+people.SessionIdles) {
		t.Error("it goes on after another seven")
	}
}

// TestNobodyIsThrownOutOnARound: a session in use at its end goes on until it
// pauses, and ends half a day later at the latest.
func TestNobodyIsThrownOutOnARound(t *testing.T) {
	h := staffed(t)
	walking, resting := h.signIn("Ada", password, "192.0.2.1"), h.signIn("Ada", password, "192.0.2.1")
	for after := time.Duration(0); after < people.SessionLasts; after += 6 * day {
		if !h.goesOn(walking, after) || !h.goesOn(resting, after) {
			t.Fatalf("a session in use has ended after %v", after)
		}
	}
	if !h.goesOn(walking, people.SessionLasts-time.Minute) {
		t.Fatal("it ended before its time")
	}
	if h.goesOn(resting, people.SessionLasts) {
		t.Error("a session that was not in use goes on past its end")
	}
	for after := people.SessionLasts; after < people.SessionLasts+people.SessionGrace; after += 90 * time.Minute {
		if !h.goesOn(walking, after) {
			t.Errorf("thrown out on a round, %v after its end", after-people.SessionLasts)
		}
	}
	if h.goesOn(walking, people.SessionLasts+people.SessionGrace) {
		t.Error("it has no end")
	}
	paused := h.signIn("Ada", password, "192.0.2.1")
	began := h.now.Sub(today)
	for after := began; after < began+people.SessionLasts; after += 6 * day {
		h.goesOn(paused, after)
	}
	if !h.goesOn(paused, began+people.SessionLasts-time.Minute) || h.goesOn(paused, began+people.SessionLasts+2*time.Hour) {
		t.Error("a session that paused past its end goes on")
	}
}

// readOnly takes nothing more, like a store whose disk is full.
type readOnly struct{ journal.Journal }

func (readOnly) Put(string, []byte) error { return errors.New("the disk is full") }

func TestReadingGoesOnWhereTheDiskIsFull(t *testing.T) {
	h := staffed(t)
	secret := h.signIn("Ada", password, "192.0.2.1")
	full := people.Open(readOnly{h.kept}, func() time.Time { return *h.now })
	*h.now = today.Add(2 * time.Hour)
	if p, known, err := full.Who(secret); err != nil || !known || p.Name != "Ada" {
		t.Errorf("%+v, %v, %v", p, known, err)
	}
}

// TestUseIsNotWrittenEachTime: a page a second is not a write a second.
func TestUseIsNotWrittenEachTime(t *testing.T) {
	h := staffed(t)
	secret := h.signIn("Ada", password, "192.0.2.1")
	counted := &counting{Journal: h.kept}
	full := people.Open(counted, func() time.Time { return *h.now })
	for after := time.Duration(0); after < 3*time.Hour; after += time.Minute {
		*h.now = today.Add(after)
		if _, known, err := full.Who(secret); !known || err != nil {
			t.Fatal(known, err)
		}
	}
	if counted.puts != 2 {
		t.Errorf("%d writes in three hours", counted.puts)
	}
}

// counting counts what is put.
type counting struct {
	journal.Journal
	puts int
}

func (c *counting) Put(key string, value []byte) error {
	c.puts++
	return c.Journal.Put(key, value)
}
