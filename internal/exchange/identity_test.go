package exchange_test

import (
	"strings"
	"testing"

	"github.com/oklog/ulid/v2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
)

func TestRowIsKnownAgain(t *testing.T) {
	issued := cellar.IssueCode(7)
	one := "when,entry,vessel,strength_pct,note\n2021-03-04," + "sample," + issued + ",60.10,clear\n"
	same := "note,vessel,strength_pct,entry,when\n clear," + strings.ToLower(strings.Replace(issued, "-", "", 1)) + ",60.1,sample,2021-03-04T01:00:00+01:00\n"
	other := "when,entry,vessel,strength_pct,note\n2021-03-04," + "sample," + issued + ",60.11,clear\n"
	id := func(text string) string {
		set := readEntries(t, text)
		if len(set.Entries) != 1 {
			t.Fatalf("%q is refused:\n%s", text, lines(set.Problems))
		}
		return set.Entries[0].ID
	}
	if id(one) != id(same) {
		t.Errorf("the same row written otherwise has another ID: %s and %s", id(one), id(same))
	}
	if id(one) == id(other) {
		t.Errorf("another strength has the same ID %s", id(one))
	}
	parsed, err := ulid.ParseStrict(id(one))
	if err != nil {
		t.Fatal(err)
	}
	if got := ulid.Time(parsed.Time()).UTC().Format("2006-01-02"); got != "2021-03-04" {
		t.Errorf("the ID's time is %s", got)
	}
}

// TestIDOfOldRow: a ULID cannot say a time before 1970.
func TestIDOfOldRow(t *testing.T) {
	set := readEntries(t, "when,entry,vessel,note\n1931-03-04,note,A,found behind the wall\n")
	if len(set.Entries) != 1 || !strings.HasPrefix(set.Entries[0].ID, "0000000000") {
		t.Errorf("got %+v", set.Entries)
	}
}

// TestKindOfFileIsInTheID keeps a place and a batch that say the same apart.
func TestKindOfFileIsInTheID(t *testing.T) {
	set := read(t, exchange.Files{
		Vessels: file("v.csv", "kind,capacity_l,note\njar,5,x\n"),
		Batches: file("b.csv", "batch,note\njar,x\n"),
	})
	if set.Vessels[0].ID == set.Batches[0].ID {
		t.Error("a vessel and a batch have one ID")
	}
}

func TestDoubtfulNames(t *testing.T) {
	issued := cellar.IssueCode(3)
	bare := strings.ToLower(strings.Replace(issued, "-", "", 1))
	set := read(t, exchange.Files{
		Vessels: file("v.csv", "code,kind,capacity_l,maker_code\n"+issued+",cask,x,M7\nB,cask,50,\nC,cask\n"),
		Batches: file("b.csv", "batch,volume_l\nR1,none\nR2,5\n"),
		Entries: file("e.csv", "when,entry,vessel,from,volume_l\n"+
			"2020-01-01,fill,"+bare+",R2,5\n2020-01-01,fill,M7,R2,5\n2020-01-01,fill,B,R1,5\n"+
			"2020-01-01,fill,D,R1,x\n2020-01-01,draw,E,,x\n"),
	})
	for _, name := range []string{issued, bare, "M7", "C", "R1", "batch:R1", "D"} {
		if !set.Doubtful[name] {
			t.Errorf("%s is not in doubt", name)
		}
	}
	for _, name := range []string{"B", "R2", "E", ""} {
		if set.Doubtful[name] {
			t.Errorf("%q is in doubt", name)
		}
	}
}

// TestUnreadableRegister: if no vessel can be read, entries say nothing.
func TestUnreadableRegister(t *testing.T) {
	set := read(t, exchange.Files{
		Vessels: file("v.csv", "code,sort\nA,cask\n"),
		Entries: file("e.csv", "when,entry,vessel\n2020-01-01,note,A\nnever,note,A\n"),
	})
	if len(set.Entries) != 0 || !strings.Contains(lines(set.Problems), "e.csv:3: when") {
		t.Errorf("got %d entries and\n%s", len(set.Entries), lines(set.Problems))
	}
}
