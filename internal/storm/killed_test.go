package storm

import (
	"context"
	"math/rand/v2"
	"net"
	"net/http"
	"os/exec"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/tidy/leaks"
)

const (
	serverKills = 50
	killPhones  = 4
)

// phones let several log for as long as the server answers, and return the IDs
// that it acknowledged. Each acknowledgement is counted at once.
func phones(t *testing.T, address string, round int, count *atomic.Int64) (wait func() []string) {
	var group sync.WaitGroup
	var mu sync.Mutex
	var acknowledged []string
	for phone := range killPhones {
		group.Go(func() {
			c := newCaller(address, "")
			defer c.http.CloseIdleConnections()
			for n := 0; ; n++ {
				id := idOf(1000*round+phone, n)
				status, body, err := c.logs(id, tanks[phone%len(tanks)])
				if err != nil {
					return // it is gone
				}
				if status != http.StatusCreated {
					t.Errorf("status %d: %s", status, body)
					return
				}
				mu.Lock()
				acknowledged = append(acknowledged, id)
				mu.Unlock()
				count.Add(1)
			}
		})
	}
	return func() []string {
		group.Wait()
		return acknowledged
	}
}

// TestTheServerIsKilled kills the whole program (SIGKILL) at random moments while
// phones log, starts it again, and checks that each entry that was acknowledged is
// there, once, and that the chain holds.
func TestTheServerIsKilled(t *testing.T) {
	random := rand.New(rand.NewPCG(seedOfRun(t), 4))
	path, total := storeWithTanks(t), 0
	for round := range serverKills * longRun() {
		cmd, _, address := child(t, path)
		acknowledged := killWhileLogging(t, cmd, address, round+1, random)
		j, err := journal.Open(path)
		must(t, err)
		times := countByID(t, j)
		for _, id := range acknowledged {
			if times[id] != 1 {
				t.Fatalf("after kill %d: %s was acknowledged and is there %d times", round+1, id, times[id])
			}
		}
		for id, n := range times {
			if n != 1 {
				t.Fatalf("after kill %d: %s is there %d times", round+1, id, n)
			}
		}
		sound(t, j)
		must(t, j.Close())
		total += len(acknowledged)
	}
	if total == 0 {
		t.Error("nothing was ever acknowledged: the kills come too early")
	}
	t.Logf("%d kills, %d acknowledged entries", serverKills*longRun(), total)
}

// killWhileLogging kills after a random number of acknowledgements. The moment
// within the next answer is the machine's to choose.
func killWhileLogging(t *testing.T, cmd *exec.Cmd, address string, round int, random *rand.Rand) []string {
	t.Helper()
	var count atomic.Int64
	wait, most := phones(t, address, round, &count), int64(random.IntN(20))
	for deadline := time.Now().Add(time.Minute); count.Load() < most; {
		if time.Now().After(deadline) {
			t.Error("the server does not answer")
			break
		}
		spin(random.IntN(200))
	}
	must(t, cmd.Process.Kill())
	acknowledged := wait()
	if err := cmd.Wait(); err == nil {
		t.Fatal("the server ended well, although it was killed")
	}
	return acknowledged
}

// spin passes a little time that no clock measures.
func spin(n int) {
	random := rand.New(rand.NewPCG(1, uint64(n)))
	for range 50 * n {
		random.Uint64()
	}
}

// TestAStopFinishesWhatWasAccepted: told to stop while phones log, the server
// answers every request that it took: what is in the journal was acknowledged.
func TestAStopFinishesWhatWasAccepted(t *testing.T) {
	leaks.None(t)
	random := rand.New(rand.NewPCG(seedOfRun(t), 5))
	for round := range 10 * longRun() {
		j := journal.NewMemory()
		b, err := book.Open(j, book.Edge{Now: func() time.Time { return start }, NewID: func(time.Time) string { return idOf(99, 0) }})
		must(t, err)
		furnish(t, b)
		before := len(countByID(t, j))
		ctx, stop := context.WithCancel(context.Background())
		at, ended := make(chan string, 1), make(chan error, 1)
		go func() { ended <- serve(ctx, b, func(a net.Addr) { at <- "http://" + a.String() }) }()
		var count atomic.Int64
		wait, most := phones(t, <-at, round+1, &count), int64(5+random.IntN(20))
		for deadline := time.Now().Add(time.Minute); count.Load() < most && time.Now().Before(deadline); {
			spin(random.IntN(200))
		}
		stop()
		acknowledged := wait()
		must(t, <-ended)
		b.Wait()
		times := countByID(t, j)
		for _, id := range acknowledged {
			if times[id] != 1 {
				t.Errorf("%s was acknowledged and is there %d times", id, times[id])
			}
		}
		if len(times)-before != len(acknowledged) {
			t.Fatalf("%d entries are there, %d were acknowledged", len(times)-before, len(acknowledged))
		}
	}
}
