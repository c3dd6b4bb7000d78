package storm

import (
	"cmp"
	"context"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/people"
)

const (
	loadPhones = 200
	loadDesks  = 20
)

// rounds is how long the load lasts: by counts, or with CROZE_LOAD=3m by the
// clock. Nobody pauses, unless CROZE_PAUSE=10s lets each be as quick as a person
// is at the most.
type rounds struct {
	each  int
	until time.Time
	pause time.Duration
}

func (r rounds) more(n int) bool {
	if r.until.IsZero() {
		return n < r.each
	}
	if n > 0 && r.pause > 0 {
		<-time.After(r.pause)
	}
	return time.Now().Before(r.until)
}

// late spreads those who pause over the pause.
func (r rounds) late(i, of int) {
	if r.pause > 0 {
		<-time.After(r.pause * time.Duration(i) / time.Duration(of))
	}
}

func roundsOf(t *testing.T, each int) rounds {
	given := os.Getenv("CROZE_LOAD")
	if given == "" {
		return rounds{each: each}
	}
	d, err := time.ParseDuration(given)
	must(t, err)
	pause, err := time.ParseDuration(cmp.Or(os.Getenv("CROZE_PAUSE"), "0s"))
	must(t, err)
	return rounds{until: time.Now().Add(d), pause: pause}
}

// watch gathers how long answers took.
type watch struct {
	mu   sync.Mutex
	took map[string][]time.Duration
}

func (w *watch) add(what string, d time.Duration) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.took == nil {
		w.took = make(map[string][]time.Duration)
	}
	w.took[what] = append(w.took[what], d)
}

func (w *watch) tell(t *testing.T) {
	for what, list := range w.took {
		slices.Sort(list)
		t.Logf("%s: %d answers, half within %v, 95 %% within %v, 99 %% within %v, the longest %v", what, len(list),
			list[len(list)/2], list[len(list)*95/100], list[len(list)*99/100], list[len(list)-1])
	}
}

// tokens makes one for each caller, twenty to an account.
func tokens(t *testing.T, b *book.Book, callers int) (list []string) {
	house := people.Open(b.Journal(), time.Now)
	for i := range callers {
		name := fmt.Sprint("hand ", i/20)
		if i == 0 {
			must(t, house.Add(name, people.Owner, "a dry cellar in autumn"))
		} else if i%20 == 0 {
			must(t, house.Add(name, people.Hand, "a dry cellar in autumn"))
		}
		secret, err := house.MakeToken(name, fmt.Sprint("phone ", i), people.Hand, time.Hour)
		must(t, err)
		list = append(list, secret)
	}
	return list
}

// loadTanks are the vessels that the load is about.
const loadTanks = 100

func tankOf(i int) string { return fmt.Sprintf("ROW-%03d", i%loadTanks) }

// furnishMore fills a small tank for every second phone.
func furnishMore(t *testing.T, b *book.Book) {
	for i := range loadTanks {
		_, err := b.RegisterNewVessel(idOf(93, i), "keeper", cellar.Vessel{Code: tankOf(i), Kind: cellar.Tank, CapacityL: 10})
		must(t, err)
		_, err = b.Record(book.Submission{ID: idOf(94, i), Who: "keeper", Sure: true, Request: cellar.Request{
			When: start.AddDate(0, 0, -299), Entry: "fill", Vessel: tankOf(i), From: "RYE", VolumeL: number(7), StrengthPct: number(60),
		}})
		must(t, err)
	}
}

// heap is the memory in use after a collection, and all that was ever taken from
// the system, in bytes.
func heap() (used, taken uint64) {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc, m.Sys
}

// mostHeap is far above what this load needs and far below what a leak of requests would take.
const mostHeap = 400 << 20

// TestManyPhonesAndDesks: 200 phones log and 20 desks review at once, with no
// error, no entry lost and none doubled.
func TestManyPhonesAndDesks(t *testing.T) {
	j, err := journal.Open(filepath.Join(t.TempDir(), journal.FileName))
	must(t, err)
	b, err := book.Open(j, realEdge())
	must(t, err)
	furnish(t, b)
	furnishMore(t, b)
	before, secrets := len(countByID(t, j)), tokens(t, b, loadPhones+loadDesks)
	ctx, stop := context.WithCancel(context.Background())
	at, ended := make(chan string, 1), make(chan error, 1)
	go func() { ended <- serve(ctx, b, func(a net.Addr) { at <- "http://" + a.String() }) }()
	saved := load(t, <-at, secrets)
	used, taken := heap()
	t.Logf("%d MB in use at the end, %d MB taken from the system", used>>20, taken>>20)
	if used > mostHeap {
		t.Errorf("%d MB are in use", used>>20)
	}
	stop()
	must(t, <-ended)
	b.Wait()
	times := countByID(t, j)
	for _, id := range saved {
		if times[id] != 1 {
			t.Errorf("%s was acknowledged and is there %d times", id, times[id])
		}
	}
	if len(times)-before != len(saved) {
		t.Errorf("%d entries are there, %d were acknowledged", len(times)-before, len(saved))
	}
	sound(t, j)
	must(t, j.Close())
}

// load lets everybody loose and returns the IDs that were acknowledged.
func load(t *testing.T, address string, secrets []string) (saved []string) {
	var group sync.WaitGroup
	var mu sync.Mutex
	var seen watch
	phoneRounds, deskRounds := roundsOf(t, 3), roundsOf(t, 5)
	for i := range loadPhones {
		group.Go(func() {
			c := newCaller(address, secrets[i])
			defer c.http.CloseIdleConnections()
			phoneRounds.late(i, loadPhones)
			for n := 0; phoneRounds.more(n); n++ {
				id, began := idOf(1000+i, n), time.Now()
				for range 2 { // each is sent twice, as a phone does that did not hear the answer
					if status, body, err := c.logs(id, tankOf(i)); err != nil || status != http.StatusCreated {
						t.Errorf("phone %d: status %d, %v: %s", i, status, err, body)
						return
					}
				}
				seen.add("logging, sent twice", time.Since(began))
				mu.Lock()
				saved = append(saved, id)
				mu.Unlock()
			}
		})
	}
	for i := range loadDesks {
		group.Go(func() {
			c := newCaller(address, secrets[loadPhones+i])
			defer c.http.CloseIdleConnections()
			pages := []string{"/vessels", "/v/" + tankOf(i), "/book", "/", "/readyz"}
			deskRounds.late(i, loadDesks)
			for n := 0; deskRounds.more(n); n++ {
				page, began := pages[n%len(pages)], time.Now()
				if status, body, err := c.ask(http.MethodGet, page, nil); err != nil || status != http.StatusOK {
					t.Errorf("desk %d: %s: status %d, %v: %.200s", i, page, status, err, body)
					return
				}
				seen.add("/"+strings.Split(page, "/")[1], time.Since(began))
			}
		})
	}
	group.Wait()
	seen.tell(t)
	return saved
}
