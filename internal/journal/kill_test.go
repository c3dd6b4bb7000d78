package journal

import (
	"bufio"
	"crypto/sha256"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/oklog/ulid/v2"
)

const (
	kills         = 220
	killsPerStore = 55
)

// TestKilledAtRandomMoments kills a process that appends (SIGKILL) again and
// again, and checks that all it acknowledged is there once, that of the batch
// it was at there is all or nothing, and that the chain holds.
// CROZE_SEED replays a run, as far as the moments of the kills can be.
func TestKilledAtRandomMoments(t *testing.T) {
	seed := seedOfRun(t)
	random := rand.New(rand.NewPCG(seed, 3))
	entries := uint64(0)
	kills := kills * longRun()
	for first := 0; first < kills; first += killsPerStore {
		path := filepath.Join(t.TempDir(), FileName)
		head := Head{}
		for round := range killsPerStore {
			acknowledged := appendAndKill(t, path, first+round, random)
			head = checkAfterKill(t, path, head, acknowledged)
		}
		s, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		mustVerify(t, s)
		s.Close()
		entries += head.Seq
	}
	t.Logf("%d kills, %d entries", kills, entries)
}

// longRun is how many times as long random tests run: more with CROZE_LONG=1.
func longRun() int {
	if os.Getenv("CROZE_LONG") == "1" {
		return 10
	}
	return 1
}

// seedOfRun returns a seed that the log of a failed test shows.
func seedOfRun(t *testing.T) uint64 {
	seed := uint64(time.Now().UnixNano())
	if given := os.Getenv("CROZE_SEED"); given != "" {
		var err error
		if seed, err = strconv.ParseUint(given, 10, 64); err != nil {
			t.Fatalf("CROZE_SEED: %v", err)
		}
	}
	t.Logf("CROZE_SEED=%d", seed)
	return seed
}

// appendAndKill starts an appending process, kills it at a random moment after
// a random number of acknowledgements, and returns the last head that it
// acknowledged: the zero head if there was none.
func appendAndKill(t *testing.T, path string, round int, random *rand.Rand) Head {
	cmd, _, stdout := child(t, "append", path, strconv.Itoa(round))
	var last Head
	for range random.IntN(12) {
		if !readHead(stdout, &last) {
			t.Fatal("the appending process ended by itself")
		}
	}
	spin(random.IntN(400)) // up to about the time of one append
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	for readHead(stdout, &last) { // what it had printed before it died
	}
	if err := cmd.Wait(); err == nil {
		t.Fatal("the appending process ended well, although it was killed")
	}
	return last
}

// readHead reads a whole line that taskAppend printed.
func readHead(r *bufio.Reader, head *Head) bool {
	line, err := r.ReadString('\n')
	if err != nil {
		return false
	}
	var hash string
	if _, err := fmt.Sscan(line, &head.Seq, &hash); err != nil {
		return false
	}
	return head.Hash.UnmarshalText([]byte(hash)) == nil
}

// spin passes a little time that no clock measures.
func spin(n int) {
	sum := sha256.Sum256(nil)
	for range n {
		sum = sha256.Sum256(sum[:])
	}
}

// checkAfterKill opens the store, checks what came after the head before, and
// returns the new head.
func checkAfterKill(t *testing.T, path string, before, acknowledged Head) Head {
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if s.Notice() != "" {
		t.Fatalf("a killed process left %s", s.Notice())
	}
	head, batches, found := before, map[string][2]int{}, acknowledged.Seq == 0
	err = s.Read(before.Seq+1, func(e Entry) error {
		if err := follows(head, e); err != nil {
			return err
		}
		head = e.head()
		found = found || head == acknowledged
		id, err := ulid.ParseStrict(e.ID)
		if err != nil {
			return err
		}
		size := int(id[12])<<8 | int(id[13])
		batch := string(id[:10]) // round and batch, as batchDraft put them
		batches[batch] = [2]int{batches[batch][0] + 1, size}
		_, ok, err := s.Find(e.ID)
		if !ok {
			return errors.Join(err, fmt.Errorf("entry %d is not found by its ID", e.Seq))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if !found {
		t.Fatalf("the acknowledged entry %d is not there: the last one is %d", acknowledged.Seq, head.Seq)
	}
	for batch, n := range batches {
		if n[0] != n[1] {
			t.Fatalf("batch %x has %d of %d entries", batch, n[0], n[1])
		}
	}
	return head
}
