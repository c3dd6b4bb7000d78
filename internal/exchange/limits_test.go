package exchange_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"example.org/croze/internal/exchange"
)

func TestTooManyRows(t *testing.T) {
	var b strings.Builder
	b.WriteString("place\n")
	for i := range exchange.MostRows + 5 {
		fmt.Fprintf(&b, "p%d\n", i)
	}
	set := read(t, exchange.Files{Places: file("f.csv", b.String())})
	want := fmt.Sprintf("f.csv:%d: more than %d rows: divide the file\n", exchange.MostRows+2, exchange.MostRows)
	if got := lines(set.Problems); got != want || len(set.Places) != exchange.MostRows {
		t.Errorf("took %d rows and says %q, want %q", len(set.Places), got, want)
	}
}

func TestTooManyBytes(t *testing.T) {
	endless := exchange.File{Name: "f.csv", Data: io.MultiReader(strings.NewReader("place\n"), iotest.DataErrReader(endlessly('x')))}
	set := read(t, exchange.Files{Places: &endless})
	if got := lines(set.Problems); got != "f.csv:1: the file is larger than 64 MiB: divide it\n" {
		t.Errorf("it says %q", got)
	}
}

type endlessly byte

func (e endlessly) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(e)
	}
	return len(p), nil
}

func TestTooManyProblems(t *testing.T) {
	text := "place,temp_c\n" + strings.Repeat("p,hot\n", 3*exchange.MostProblems)
	set := read(t, exchange.Files{Places: file("f.csv", text)})
	if n := len(set.Problems); n != exchange.MostProblems {
		t.Errorf("%d problems, want the first %d", n, exchange.MostProblems)
	}
}

// TestFailingDisk: a reader that fails is not a bad row.
func TestFailingDisk(t *testing.T) {
	broken := errors.New("the disk is on fire")
	for _, files := range []exchange.Files{
		{Vessels: &exchange.File{Name: "v.csv", Data: iotest.ErrReader(broken)}},
		{Places: &exchange.File{Name: "v.csv", Data: iotest.ErrReader(broken)}},
		{Batches: &exchange.File{Name: "v.csv", Data: iotest.ErrReader(broken)}},
		{Entries: &exchange.File{Name: "v.csv", Data: iotest.ErrReader(broken)}},
	} {
		if _, err := exchange.Read(files, now); !errors.Is(err, broken) || !strings.HasPrefix(err.Error(), "v.csv: ") {
			t.Errorf("got %v", err)
		}
	}
}
