package book

import (
	"encoding/json"
	"fmt"
	"reflect"
	"testing"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/spirit"
)

// The balances of a store of 200 000 accounts fit beside the journal when they
// are packed, and are read as those of a small one are.
func TestKeptBalancesOfAVeryLargeStore(t *testing.T) {
	want := kept{Seq: 7, Balances: make(map[cellar.Account]spirit.Amount)}
	for i := range 200_000 {
		want.Balances[cellar.VesselAccount(fmt.Sprint("V-", i))] = spirit.Amount{EthanolMg: int64(i) * 77_777, WaterMg: int64(i) * 33_333}
	}
	plain, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	small, err := packed(plain)
	if err != nil {
		t.Fatal(err)
	}
	if len(plain) <= journal.MaxAside || len(small) > journal.MaxAside {
		t.Errorf("%d bytes, packed %d", len(plain), len(small))
	}
	for _, data := range [][]byte{plain, small} {
		if got, err := readKept(data); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("read back: %d balances at %d, %v", len(got.Balances), got.Seq, err)
		}
	}
	if _, err := readKept(small[:len(small)/2]); err == nil {
		t.Error("half of it was read")
	}
}
