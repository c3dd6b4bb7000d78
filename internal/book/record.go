package book

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/croze/internal/cellar"
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
func (b *Book) Record(s Submission) (entry cellar.Entry, err error) {
	err = b.whenRead(func() error {
		entry, err = b.take(s)
		return err
	})
	return entry, err
}

// Preview works a request out without saving it, for a form that shows the
// corrected strength while a person types.
func (b *Book) Preview(r cellar.Request) (fact cellar.Fact, questions []cellar.Question, err error) {
	err = b.whenRead(func() error {
		fact, questions, err = b.shown.Load().resolve(r, b.edge.Now())
		return err
	})
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
	return e, true, b.repeats(e, s)
}

// repeats refuses a submission whose ID another entry has.
func (s *standing) repeats(e cellar.Entry, sub Submission) error {
	if e.Fact.Kind() == sub.Request.Entry && s.isAbout(e, sub.Request.Vessel) {
		return nil
	}
	return &cellar.Problem{
		Kind: cellar.Conflict, Field: "id", Value: sub.ID, Reason: "another entry has this ID: send this one with a new ID",
	}
}

// isAbout says whether an entry concerns a vessel; a request that names none
// may be any, and so may an entry that is about nothing of its own, as one that
// takes another back.
func (s *standing) isAbout(e cellar.Entry, written string) bool {
	v, known := s.state.FindVessel(written)
	about := e.Fact.Subjects()
	return !known || len(about) == 0 || slices.Contains(about, cellar.VesselAccount(v.Code))
}

// resolve works out a request against the state at its time.
func (s *standing) resolve(r cellar.Request, now time.Time) (cellar.Fact, []cellar.Question, error) {
	state, err := s.stateAt(r.When)
	if err != nil {
		return nil, nil, err
	}
	if r.Entry == "void" {
		if err := s.checkVoid(r.Void); err != nil {
			return nil, nil, err
		}
	}
	if r.Entry == "round_skip" {
		if err := s.checkSkip(r); err != nil {
			return nil, nil, err
		}
	}
	e := estimator{model: s.model}
	fact, questions, err := cellar.Resolver{State: state, Now: now, Estimate: e.of}.Resolve(r)
	if err = e.or(err); err != nil {
		return nil, nil, err
	}
	return fact, append(questions, s.questionClosed(r, fact)...), nil
}

// stateAt is the state that an entry of this time finds.
func (s *standing) stateAt(when time.Time) (*cellar.State, error) {
	if !when.Before(s.state.LastAt()) {
		return s.state, nil
	}
	return cellar.Fold(s.entries, when)
}

func (s *standing) checkVoid(id string) error {
	for _, e := range s.entries {
		if e.ID != id {
			continue
		}
		if by := voidedBy(s.entries)[id]; by != 0 {
			return &cellar.Problem{Kind: cellar.Conflict, Field: "void", Value: id, Reason: fmt.Sprintf("entry %d has taken it back already", by)}
		}
		return s.checkReopening(e)
	}
	return &cellar.Problem{Kind: cellar.NotFound, Field: "void", Value: id, Reason: "no entry has this ID"}
}
