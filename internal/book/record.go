package book

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// Submission is a request with what the book needs to take it once.
type Submission struct {
	ID      string // ULID made by the client; "" has the book make one
	Who     string
	Request cellar.Request
	Sure    bool // the person has seen the questions and stands by what was written
}

// Doubts is the answer to a submission that is unlikely: nothing was saved,
// and a person should look at the questions first.
type Doubts struct{ Questions []cellar.Question }

// Error lists the questions.
func (d *Doubts) Error() string {
	texts := make([]string, len(d.Questions))
	for i, q := range d.Questions {
		texts[i] = q.Text
	}
	return strings.Join(texts, "; ")
}

// Record takes one entry. Sending the same ID again gives the entry that was
// saved the first time. An unlikely entry is answered with *Doubts unless the
// submission is Sure; one that cannot have happened with a *cellar.Problem.
func (b *Book) Record(s Submission) (cellar.Entry, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if e, repeated, err := b.recorded(s); repeated || err != nil {
		return e, err
	}
	fact, questions, err := b.resolve(s.Request)
	if err != nil {
		return cellar.Entry{}, err
	}
	if len(questions) > 0 && !s.Sure {
		return cellar.Entry{}, &Doubts{questions}
	}
	return b.post(s.ID, s.Who, s.Request.When, fact)
}

// Preview works a request out without saving it, for a form that shows the
// corrected strength while a person types.
func (b *Book) Preview(r cellar.Request) (cellar.Fact, []cellar.Question, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	fact, questions, err := b.resolve(r)
	if err != nil {
		return nil, nil, err
	}
	body, err := json.Marshal(fact)
	if err == nil {
		err = cellar.CheckWriting(body)
	}
	return fact, questions, err
}

// recorded finds the entry of an ID that was sent before.
func (b *Book) recorded(s Submission) (cellar.Entry, bool, error) {
	if s.ID == "" {
		return cellar.Entry{}, false, nil
	}
	old, found, err := b.find(s.ID)
	if err != nil || !found {
		return cellar.Entry{}, false, err
	}
	e, err := decode(old)
	if err != nil {
		return cellar.Entry{}, false, err
	}
	if old.Kind != s.Request.Entry || !b.isAbout(e, s.Request.Vessel) {
		return cellar.Entry{}, false, &cellar.Problem{
			Kind: cellar.Conflict, Field: "id", Value: s.ID, Reason: "another entry has this ID: send this one with a new ID",
		}
	}
	return e, true, nil
}

// isAbout says whether an entry concerns a vessel; a request that names none
// may be any.
func (b *Book) isAbout(e cellar.Entry, written string) bool {
	v, known := b.state.FindVessel(written)
	return !known || slices.Contains(e.Fact.Subjects(), cellar.VesselAccount(v.Code))
}

// resolve works out a request against the state at its time.
func (b *Book) resolve(r cellar.Request) (cellar.Fact, []cellar.Question, error) {
	state, err := b.stateAt(r.When)
	if err != nil {
		return nil, nil, err
	}
	if r.Entry == "void" {
		if err := b.checkVoid(r.Void); err != nil {
			return nil, nil, err
		}
	}
	if r.Entry == "round_skip" {
		if err := b.checkSkip(r); err != nil {
			return nil, nil, err
		}
	}
	fact, questions, err := cellar.Resolver{State: state, Now: b.edge.Now(), Estimate: b.estimate}.Resolve(r)
	if err != nil {
		return nil, nil, err
	}
	return fact, append(questions, b.questionClosed(r, fact)...), nil
}

// stateAt is the state that an entry of this time finds.
func (b *Book) stateAt(when time.Time) (*cellar.State, error) {
	if !when.Before(b.state.LastAt()) {
		return b.state, nil
	}
	return cellar.Fold(b.entries, when)
}

func (b *Book) checkVoid(id string) error {
	for _, e := range b.entries {
		if e.ID != id {
			continue
		}
		if by := voidedBy(b.entries)[id]; by != 0 {
			return &cellar.Problem{Kind: cellar.Conflict, Field: "void", Value: id, Reason: fmt.Sprintf("entry %d has taken it back already", by)}
		}
		return b.checkReopening(e)
	}
	return &cellar.Problem{Kind: cellar.NotFound, Field: "void", Value: id, Reason: "no entry has this ID"}
}

// post tries a fact against the whole history, appends it and moves the state on.
func (b *Book) post(id, who string, when time.Time, fact cellar.Fact) (cellar.Entry, error) {
	draft, err := b.draft(id, who, when, fact)
	if err != nil {
		return cellar.Entry{}, err
	}
	e := cellar.Entry{Seq: b.head.Seq + 1, ID: draft.ID, RecordedAt: draft.RecordedAt, HappenedAt: when, Who: who, Fact: fact}
	next, err := b.tried(e)
	if err != nil {
		return cellar.Entry{}, err
	}
	written, err := b.append([]journal.Draft{draft})
	if err != nil {
		return cellar.Entry{}, err
	}
	if next == nil {
		if err := b.state.Extend(written[0]); err != nil {
			return cellar.Entry{}, err
		}
		next = b.state
	}
	b.moveOn(next, written)
	return written[0], nil
}

// tried says whether the history holds with one more entry: nil and no error
// if the state can simply be extended, or the state of a new fold.
func (b *Book) tried(e cellar.Entry) (*cellar.State, error) {
	if b.state.Follows(e) {
		return nil, b.state.Test(e)
	}
	all := append(b.entries[:len(b.entries):len(b.entries)], e)
	return cellar.Fold(all, time.Time{})
}

func (b *Book) draft(id, who string, when time.Time, fact cellar.Fact) (journal.Draft, error) {
	body, err := json.Marshal(fact)
	if err != nil {
		return journal.Draft{}, err
	}
	if err := cellar.CheckWriting(body); err != nil {
		return journal.Draft{}, err
	}
	now := b.recordingTime()
	if id == "" {
		id = b.edge.NewID(now)
	}
	return journal.Draft{ID: id, RecordedAt: now, HappenedAt: when, Who: who, Kind: fact.Kind(), Body: body}, nil
}

// moveOn takes the state after new entries and brings the model up to date.
func (b *Book) moveOn(next *cellar.State, written []cellar.Entry) {
	b.state = next
	b.past.forget()
	b.unfit += len(written)
	codes := vesselsOf(b.state, b.entries, written)
	b.memo.forget(codes)
	if b.model != nil || b.fitting {
		b.refit(codes)
	}
}
