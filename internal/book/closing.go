package book

import (
	"fmt"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// Reopen takes the closing of just this period and these vessels back.
func (b *Book) Reopen(who string, p Period, vessels []string, reason string) (cellar.Entry, error) {
	state := b.shown.Load().state
	codes, err := checkStatement(state, p, vessels)
	id := ""
	for _, closing := range state.Closings {
		if closing.From == p.From && closing.To == p.To && slices.Equal(closing.Vessels, codes) {
			id = closing.Entry.ID
		}
	}
	switch {
	case err != nil:
		return cellar.Entry{}, err
	case id == "":
		return cellar.Entry{}, &cellar.Problem{Kind: cellar.NotFound, Field: "from", Value: p.From.String(), Reason: "just this period is not closed for just these vessels"}
	}
	return b.Record(Submission{Who: who, Request: cellar.Request{When: b.Now(), Entry: "void", Void: id, Note: reason}})
}

// ClosePeriod closes a period for some vessels, or for all: its statement is
// frozen, and what is found out later shows in the next. Sent again with the
// same ID it is the same closing.
func (b *Book) ClosePeriod(id, who string, p Period, vessels []string, note string) (cellar.Entry, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if e, there, err := b.repeated(id, "close"); there || err != nil {
		return e, err
	}
	codes, err := checkStatement(b.state, p, vessels)
	if err != nil {
		return cellar.Entry{}, err
	}
	if err := cellar.CheckNote("note", note); err != nil {
		return cellar.Entry{}, err
	}
	ledger := newLedger(b.state, p, codes)
	return b.post(id, who, b.recordingTime(), &cellar.Close{
		From: p.From, To: p.To, Vessels: codes, Sections: frozen(ledger.sections()), Held: ledger.held(), Note: note,
	})
}

// SetLimit sets the yearly loss of a kind of vessel, in % of the alcohol, above
// which a loss is listed for explanation; 0 sets none.
func (b *Book) SetLimit(id, who string, limit cellar.Limit) error {
	if err := cellar.CheckLimit(&limit); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if _, there, err := b.repeated(id, "limit"); there || err != nil {
		return err
	}
	_, err := b.post(id, who, b.recordingTime(), &limit)
	return err
}

// ExplainLoss keeps words for the loss of a vessel in a period.
func (b *Book) ExplainLoss(id, who string, e cellar.Explain) error {
	if e.Words == "" {
		return &cellar.Problem{Kind: cellar.Invalid, Field: "words", Reason: "say what is known or thought of the loss"}
	}
	if err := cellar.CheckNote("words", e.Words); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if _, there, err := b.repeated(id, "explain"); there || err != nil {
		return err
	}
	codes, err := checkStatement(b.state, Period{e.From, e.To}, []string{e.Vessel})
	if err != nil {
		return err
	}
	e.Vessel = codes[0]
	_, err = b.post(id, who, b.recordingTime(), &e)
	return err
}

// repeated finds what an ID has recorded before, which must be of the kind.
func (b *Book) repeated(id, kind string) (cellar.Entry, bool, error) {
	if id == "" {
		return cellar.Entry{}, false, nil
	}
	old, found, err := b.find(id)
	if err != nil || !found {
		return cellar.Entry{}, false, err
	}
	if old.Kind != kind {
		return cellar.Entry{}, false, &cellar.Problem{
			Kind: cellar.Conflict, Field: "id", Value: id, Reason: "another entry has this ID: send this one with a new ID",
		}
	}
	e, err := decode(old)
	return e, true, err
}

// checkReopening refuses to take a closing back whose end another was opened with.
func (s *standing) checkReopening(e cellar.Entry) error {
	taken, ok := e.Fact.(*cellar.Close)
	if !ok {
		return nil
	}
	for _, later := range s.state.Closings {
		if later.From == taken.To+1 && (len(taken.Vessels) == 0 || len(later.Vessels) == 0 || slices.ContainsFunc(later.Vessels, func(code string) bool {
			return slices.Contains(taken.Vessels, code)
		})) {
			return &cellar.Problem{
				Kind: cellar.Refused, Field: "void", Value: e.ID,
				Reason: "the period after it is closed too and begins with its figures: take back entry " + number(later.Entry.Seq) + " first",
			}
		}
	}
	return nil
}

// questionClosed asks about an entry that falls into a closed period.
func (s *standing) questionClosed(r cellar.Request, fact cellar.Fact) []cellar.Question {
	day := cellar.DayOf(r.When)
	for _, closing := range s.state.Closings {
		if day < closing.From || day > closing.To || r.Entry == "note" || r.Entry == "void" || r.Entry == "move" {
			continue
		}
		if slices.ContainsFunc(fact.Subjects(), closing.Covers) {
			return []cellar.Question{{
				Field: "when", Code: "closed_period",
				Text: "the period from " + closing.From.String() + " to " + closing.To.String() + " is closed: this will show as an adjustment in the next one. Is the date right?",
			}}
		}
	}
	return nil
}

// checkClosings holds the figures of every closing to adding up, and to what was
// held at its end.
func checkClosings(s *cellar.State) error {
	for _, closing := range s.Closings {
		for _, section := range closing.Sections {
			if err := checkFrozen(closing, section); err != nil {
				return &cellar.EntryError{Entry: closing.Entry, Err: err}
			}
		}
	}
	return nil
}

func checkFrozen(closing cellar.Closing, section cellar.FrozenSection) error {
	var sum, end, held spirit.Amount
	for _, l := range section.Lines {
		if l.Line == keyClosing {
			end = l.Amount
		} else {
			sum = sum.Add(l.Amount)
		}
	}
	whole := ledger{} // the closing's own choice of vessels has made the choice already
	for a, amount := range closing.Held {
		if whole.inside(section.Section, a) {
			held = held.Add(amount)
		}
	}
	if sum != end || held != end {
		return fmt.Errorf("its figures for %q do not add up: the lines give %+v, the closing says %+v, and %+v was held", section.Section, sum, end, held)
	}
	return nil
}
