package people_test

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/people"
)

// keyOf is a passkey as a device might have made it.
func keyOf(name, label string) people.Passkey {
	return people.Passkey{Account: name, Name: label, Host: "cellar.example", Key: []byte(name + label), Public: []byte("public")}
}

func TestPasskeysOfAnAccount(t *testing.T) {
	h := staffed(t)
	h.must(h.AddPasskey(keyOf("ada", " desk ")))
	list, err := h.Passkeys("ADA", "cellar.example")
	if err != nil || len(list) != 1 || list[0].Account != "Ada" || list[0].Name != "desk" || list[0].Made != today {
		t.Fatalf("%+v, %v", list, err)
	}
	other := keyOf("Bo", "stick")
	other.Key = list[0].Key
	long, longer, empty := keyOf("Ada", "long"), keyOf("Ada", "longer"), keyOf("Ada", "empty")
	long.Key, longer.Public, empty.Public = make([]byte, 1024), make([]byte, 2101), nil
	for what, p := range map[string]people.Passkey{
		"called the same": keyOf("Ada", "Desk"), "another's already": other, "of nobody": keyOf("Eve", "desk"), "without a name": keyOf("Ada", " "),
		"long": long, "with a long key": longer, "without a key": empty,
	} {
		if err := h.AddPasskey(p); cellar.KindOf(err) == "" {
			t.Errorf("one %s: %v", what, err)
		}
	}
	for n := range 9 {
		h.must(h.AddPasskey(keyOf("Ada", fmt.Sprint("stick ", n))))
	}
	if err := h.AddPasskey(keyOf("Ada", "one more")); cellar.KindOf(err) != cellar.Refused {
		t.Errorf("the eleventh: %v", err)
	}
	if list, err := h.Passkeys("Ada", "elsewhere.example"); err != nil || len(list) != 0 {
		t.Errorf("of another host: %d, %v", len(list), err)
	}
	h.must(h.Add("Cleo", people.Owner, password))
	h.must(h.Remove("Ada"))
	if any, err := h.AnyPasskey(""); err != nil || any {
		t.Errorf("passkeys outlive their account: %v, %v", any, err)
	}
}

func TestHandlesStayAndTellNothing(t *testing.T) {
	h := staffed(t)
	first, err := h.Handle("Ada")
	h.must(err)
	h.reopen()
	again, err := h.Handle("ada")
	h.must(err)
	other, err := h.Handle("Bo")
	h.must(err)
	if len(first) != 32 || string(first) != string(again) || string(first) == string(other) {
		t.Errorf("%x, %x, %x", first, again, other)
	}
	if a, known, err := h.AccountOf(first); err != nil || !known || a.Name != "Ada" {
		t.Errorf("it is of %q, %v, %v", a.Name, known, err)
	}
	if _, known, _ := h.AccountOf(nil); known { // Ines has none
		t.Error("no handle is somebody's")
	}
	if _, err := h.Handle("Eve"); cellar.KindOf(err) != cellar.NotFound {
		t.Errorf("of nobody: %v", err)
	}
}

// TestCounters: what counts must go up, what does not count sends 0, and a copy
// stays refused over a restart.
func TestCounters(t *testing.T) {
	for _, c := range []struct {
		counts []uint32
		good   int // how many of them sign in
	}{
		{[]uint32{0, 0, 0}, 3}, {[]uint32{1, 2, 9}, 3}, {[]uint32{0, 5, 6}, 3}, {[]uint32{5, 5, 6}, 1}, {[]uint32{5, 4, 900}, 1}, {[]uint32{5, 0, 6}, 1},
	} {
		h := newHome(t)
		h.must(h.Add("Ada", people.Owner, password))
		p := keyOf("Ada", "desk")
		h.must(h.AddPasskey(p))
		good := 0
		for _, n := range c.counts {
			h.reopen()
			name, secret, err := h.SignInByPasskey(p.Key, n, "192.0.2.1", "")
			_, known, _ := h.Who(secret)
			if known != (err == nil) || err != nil && !errors.Is(err, people.ErrCopied) || name != "Ada" {
				t.Errorf("%v: %q, known %v, %v", c.counts, name, known, err)
			}
			if known {
				good++
			}
		}
		if good != c.good {
			t.Errorf("%v: %d of them signed in, want %d", c.counts, good, c.good)
		}
	}
}

func TestPasskeysHoldBackAnAddressOnly(t *testing.T) {
	h := staffed(t)
	p := keyOf("Ada", "desk")
	h.must(h.AddPasskey(p))
	for range 10 {
		h.WrongPasskey("", "198.51.100.7")
	}
	if !h.HeldBack("198.51.100.7") || h.HeldBack("192.0.2.1") {
		t.Error("the wrong address is held back")
	}
	for n := range 60 {
		h.WrongPasskey("Ada", fmt.Sprint("203.0.113.", n))
	}
	if _, err := h.SignIn("Ada", password, "192.0.2.1", ""); !errors.Is(err, people.ErrWait) {
		t.Errorf("with a password, from where nobody was: %v", err)
	}
	if _, _, err := h.SignInByPasskey(p.Key, 0, "192.0.2.1", ""); err != nil {
		t.Errorf("with her passkey: %v", err)
	}
	h.must(func() error { _, err := h.SignIn("Ada", password, "192.0.2.1", ""); return err }()) // she has been here now
	if _, _, err := h.SignInByPasskey([]byte("of nobody"), 0, "192.0.2.1", ""); !errors.Is(err, people.ErrWrong) {
		t.Errorf("one of nobody: %v", err)
	}
	*h.now = today.Add(16 * time.Minute)
	if h.HeldBack("198.51.100.7") {
		t.Error("it is held back for ever")
	}
}

// TestPasswordsAreTakenAsTheyAre: any characters, to the last space.
func TestPasswordsAreTakenAsTheyAre(t *testing.T) {
	h := newHome(t)
	word := " søvn i \U0001F950 <b>&amp;\" "
	h.must(h.Add("Ada", people.Owner, word))
	h.signIn("Ada", word, "192.0.2.1")
	for _, near := range []string{word[1:], word[:len(word)-1], "Søvn" + word[6:], " søvn i \U0001F950 <b>&\" "} {
		if _, err := h.SignIn("Ada", near, "192.0.2.1", ""); !errors.Is(err, people.ErrWrong) {
			t.Errorf("%q: %v", near, err)
		}
	}
}
