package storm

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/anishathalye/porcupine"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/tidy/leaks"
)

// asked is what a client asks of the book.
type asked struct {
	what   string // draw, void or see
	id     string
	target string // of a void
}

// told is what the book answers.
type told struct {
	seq      uint64
	refused  cellar.ProblemKind
	standing string // of a see: the draws that stand, in the order of their numbers
	head     uint64
}

// shelf is the naive model: numbers by ID, and what is taken back. It is a
// value, because the checker goes back and forth between states.
type shelf struct {
	head  uint64
	lines string // " id=seq" for each entry, in order
	void  string // " id" for each draw that is taken back
}

func (s shelf) seqOf(id string) (seq uint64) {
	if _, after, found := strings.Cut(s.lines, " "+id+"="); found {
		fmt.Sscan(after, &seq)
	}
	return seq
}

// standing lists the draws that are not taken back; voids have IDs with a V.
func (s shelf) standing() string {
	var ids []string
	for _, line := range strings.Fields(s.lines) {
		id, _, _ := strings.Cut(line, "=")
		if !strings.Contains(s.void, " "+id) && !isVoid(id) {
			ids = append(ids, id)
		}
	}
	return strings.Join(ids, " ")
}

func isVoid(id string) bool { return strings.HasSuffix(id, "V") }

// step says whether an answer is one that the model allows, and the state after it.
func (s shelf) step(in asked, out told) (bool, shelf) {
	if in.what == "see" {
		return out.standing == s.standing() && out.head == s.head, s
	}
	if seq := s.seqOf(in.id); seq != 0 {
		return out.seq == seq && out.refused == "", s
	}
	if in.what == "void" {
		switch {
		case s.seqOf(in.target) == 0:
			return out.refused == cellar.NotFound, s
		case strings.Contains(s.void, " "+in.target):
			return out.refused == cellar.Conflict, s
		}
		s.void += " " + in.target
	}
	s.head++
	s.lines += fmt.Sprintf(" %s=%d", in.id, s.head)
	return out.refused == "" && out.seq == s.head, s
}

// model is the shelf as the checker takes it.
func model(head uint64) porcupine.Model {
	return porcupine.Model{
		Init: func() any { return shelf{head: head} },
		Step: func(state, in, out any) (bool, any) {
			ok, next := state.(shelf).step(in.(asked), out.(told))
			return ok, next
		},
		Equal:             func(a, b any) bool { return a == b },
		DescribeOperation: func(in, out any) string { return fmt.Sprintf("%+v: %+v", in, out) },
	}
}

// client asks the book and notes when it asked and when it was answered, by a
// count that all clients share.
type client struct {
	number int
	book   *book.Book
	count  *atomic.Int64
	log    []porcupine.Operation
}

func (c *client) asks(t *testing.T, in asked) {
	called := c.count.Add(1)
	out, err := answer(c.book, in)
	returned := c.count.Add(1)
	if err != nil {
		t.Errorf("%+v: %v", in, err)
	}
	c.log = append(c.log, porcupine.Operation{ClientId: c.number, Input: in, Call: called, Output: out, Return: returned})
}

// answer asks the book for real.
func answer(b *book.Book, in asked) (out told, err error) {
	if in.what == "see" {
		err := b.Glance(book.Moment{}, func(v *book.View) error {
			out = seen(v)
			return nil
		})
		return out, err
	}
	s := draw(in.id, "hand", tanks[0], start, 5)
	if in.what == "void" {
		s = takeBack(in.id, "hand", in.target, start)
	}
	e, err := b.Record(s)
	var problem *cellar.Problem
	if errors.As(err, &problem) {
		return told{refused: problem.Kind}, nil
	}
	return told{seq: e.Seq}, err
}

func seen(v *book.View) told {
	var ids []string
	for _, e := range cellar.Standing(v.Entries) {
		if e.Fact.Kind() == "draw" {
			ids = append(ids, e.ID)
		}
	}
	return told{standing: strings.Join(ids, " "), head: v.Head}
}

// plan makes what a client will ask. IDs are from few, so that clients meet.
func plan(random *rand.Rand, asks int) []asked {
	var list []asked
	for range asks {
		n := random.IntN(12)
		id := fmt.Sprintf("01J%022dA", n)
		switch random.IntN(5) {
		case 0, 1:
			list = append(list, asked{"draw", id, ""})
		case 2:
			list = append(list, asked{"void", fmt.Sprintf("01J%022dV", n), id})
		default:
			list = append(list, asked{"see", "", ""})
		}
	}
	return list
}

// history lets clients loose on a new book and returns what they saw.
func history(t *testing.T, seed uint64, clients, asks int) (before uint64, log []porcupine.Operation) {
	b, err := book.Open(journal.NewMemory(), book.Edge{Now: func() time.Time { return start }, NewID: func(time.Time) string { return idOf(99, 0) }})
	must(t, err)
	furnish(t, b)
	head, err := b.Journal().Head()
	must(t, err)
	all, count, gate := make([]*client, clients), new(atomic.Int64), make(chan struct{})
	var group sync.WaitGroup
	for i := range all {
		c := &client{number: i, book: b, count: count}
		list := plan(rand.New(rand.NewPCG(seed, uint64(i))), asks)
		all[i] = c
		group.Go(func() {
			<-gate
			for _, in := range list {
				c.asks(t, in)
			}
		})
	}
	close(gate)
	group.Wait()
	b.Wait()
	for _, c := range all {
		log = append(log, c.log...)
	}
	return head.Seq, log
}

// TestRecordVoidAndSeeAreLinearizable: of every run there is an order of the
// operations, each at one moment between its call and its answer, in which a
// book for one person at a time would give the same answers.
func TestRecordVoidAndSeeAreLinearizable(t *testing.T) {
	leaks.None(t)
	seed := seedOfRun(t)
	for i := range 30 * longRun() {
		before, log := history(t, seed+uint64(i), 6, 12)
		if !porcupine.CheckOperations(model(before), log) {
			for _, o := range log {
				t.Logf("%d: %d to %d: %+v: %+v", o.ClientId, o.Call, o.Return, o.Input, o.Output)
			}
			t.Fatalf("no order explains the answers in the run of CROZE_SEED=%d", seed+uint64(i))
		}
	}
}

// TestTheCheckerSeesAFault: an answer that was never true is found out.
func TestTheCheckerSeesAFault(t *testing.T) {
	before, log := history(t, 1, 4, 12)
	i := slices.IndexFunc(log, func(o porcupine.Operation) bool { return o.Input.(asked).what == "draw" })
	wrong := log[i].Output.(told)
	wrong.seq++
	log[i].Output = wrong
	if porcupine.CheckOperations(model(before), log) {
		t.Error("a draw with the number of another passes")
	}
}
