package cellar

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"
)

// Entry is a fact as the journal has it.
type Entry struct {
	Seq        uint64    // place in the journal, from 1
	ID         string    // ULID made by whoever wrote it
	RecordedAt time.Time // when it was written down
	HappenedAt time.Time // when it happened
	Who        string
	Fact       Fact
}

// Day is the civil date on which it happened.
func (e Entry) Day() Day { return DayOf(e.HappenedAt) }

// Fact is something that happened. Its Kind is the word that the journal,
// the files and the pages use for it.
type Fact interface {
	Kind() string
	// Subjects names the vessels, batches and places that it is about.
	Subjects() []Account
}

// definition is a fact that registers something: it holds whenever it was
// written, so that older entries can be about it.
type definition interface {
	Fact
	test(s *State) error // says why it cannot be registered
	register(s *State)   // after its test
}

// mover is a fact that the fold applies in its turn.
type mover interface {
	Fact
	apply(c *change) error
}

// newFact makes an empty fact of each kind, for reading one back.
var newFact = map[string]func() Fact{
	"place":      func() Fact { return new(PlaceFact) },
	"climate":    func() Fact { return new(ClimateFact) },
	"vessel":     func() Fact { return new(VesselFact) },
	"batch":      func() Fact { return new(BatchFact) },
	"instrument": func() Fact { return new(InstrumentFact) },
	"fill":       func() Fact { return new(Fill) },
	"top_up":     func() Fact { return new(TopUp) },
	"transfer":   func() Fact { return new(Transfer) },
	"sample":     func() Fact { return new(Sample) },
	"draw":       func() Fact { return new(Draw) },
	"spill":      func() Fact { return new(Spill) },
	"reduce":     func() Fact { return new(Reduce) },
	"blend":      func() Fact { return new(Blend) },
	"bottle":     func() Fact { return new(Bottle) },
	"empty":      func() Fact { return new(Empty) },
	"move":       func() Fact { return new(Move) },
	"note":       func() Fact { return new(Note) },
	"void":       func() Fact { return new(Void) },
	"rinse":      func() Fact { return new(Rinse) },
	"close":      func() Fact { return new(Close) },
	"limit":      func() Fact { return new(Limit) },
	"explain":    func() Fact { return new(Explain) },
	"round":      func() Fact { return new(Round) },
	"round_skip": func() Fact { return new(RoundSkip) },
	"rhythm":     func() Fact { return new(Rhythm) },
	"aim":        func() Fact { return new(Aim) },
	"relabel":    func() Fact { return new(Relabel) },

	"trial":           func() Fact { return new(Trial) },
	"warm_trial":      func() Fact { return new(WarmTrial) },
	"tasting_words":   func() Fact { return new(TastingWords) },
	"tasting_plan":    func() Fact { return new(TastingPlan) },
	"tasting_answers": func() Fact { return new(TastingAnswers) },
	"value":           func() Fact { return new(Value) },
	"plan":            func() Fact { return new(Plan) },
	"cost":            func() Fact { return new(Cost) },
}

// Kinds lists every kind of entry that a journal can hold, sorted.
func Kinds() []string { return slices.Sorted(maps.Keys(newFact)) }

// DecodeFact reads a fact from the journal's kind and body.
func DecodeFact(kind string, body []byte) (Fact, error) {
	create, ok := newFact[kind]
	if !ok {
		return nil, invalid("kind", kind, "this version does not know such an entry: it was written by a newer version, use that one")
	}
	fact := create()
	decoder := json.NewDecoder(bytes.NewReader(body))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(fact); err != nil {
		if field, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
			return nil, invalid("body", nil, "the body of a %s entry has the field %s, which this version does not know: it was written by a newer version, use that one", kind, field)
		}
		return nil, invalid("body", nil, "the body of a %s entry cannot be read: %v", kind, err)
	}
	if !bytes.HasPrefix(bytes.TrimLeft(body, " \t\r\n"), []byte("{")) { // null decodes to an empty fact
		return nil, invalid("body", nil, "the body of a %s entry is not an object", kind)
	}
	if _, err := decoder.Token(); err != io.EOF {
		return nil, invalid("body", nil, "the body of a %s entry has something after its end", kind)
	}
	return fact, nil
}

// compareTime orders entries as things happened; what was made on a day was
// there before anything else that day, and otherwise the journal's order decides.
func compareTime(a, b Entry) int {
	if c := a.HappenedAt.Compare(b.HappenedAt); c != 0 {
		return c
	}
	if c := cmp.Compare(definedFirst(a.Fact), definedFirst(b.Fact)); c != 0 {
		return c
	}
	return cmp.Compare(a.Seq, b.Seq)
}

func definedFirst(f Fact) int {
	if _, ok := f.(definition); ok {
		return 0
	}
	return 1
}

// Standing returns the entries that are not voided, in journal order. A void
// takes back an entry written before it, and can itself be voided; the last
// word counts.
func Standing(entries []Entry) []Entry {
	voided := make(map[string]bool)
	standing := make([]Entry, 0, len(entries))
	for _, e := range slices.Backward(entries) {
		if voided[e.ID] {
			continue
		}
		standing = append(standing, e)
		if void, ok := e.Fact.(*Void); ok {
			voided[void.Entry] = true
		}
	}
	slices.Reverse(standing)
	return standing
}

// EntryError says which entry of the history does not hold, and why.
type EntryError struct {
	Entry Entry
	Err   error
}

// Error names the entry as a person would.
func (e *EntryError) Error() string {
	about := ""
	if subjects := e.Entry.Fact.Subjects(); len(subjects) > 0 {
		_, about = subjects[0].Split()
		about = " of " + about
	}
	return fmt.Sprintf("entry %d, the %s%s on %s: %v", e.Entry.Seq, e.Entry.Fact.Kind(), about, e.Entry.Day(), e.Err)
}

// Unwrap gives the reason.
func (e *EntryError) Unwrap() error { return e.Err }
