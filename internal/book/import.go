package book

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// Row is one record of an import, with where it stands.
type Row[T any] struct {
	File  string
	Line  int
	ID    string // ULID derived from the row's content, so that the same row is known again
	Value T
}

// ImportSet is what the files of one import say.
type ImportSet struct {
	Places   []Row[cellar.Place]
	Vessels  []Row[cellar.Vessel]
	Batches  []Row[cellar.Batch]
	Entries  []Row[cellar.Request]
	Problems []RowProblem // found while reading; with any, nothing is written
	// Doubtful holds the names of vessels and batches whose row could not be
	// read, so that what depends on them is not reported as a second problem.
	Doubtful map[string]bool
}

// RowProblem says what is wrong, or with Warning unlikely, in a row.
type RowProblem struct {
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  string `json:"column,omitempty"`
	Value   string `json:"value,omitempty"`
	Reason  string `json:"reason"`
	Warning bool   `json:"warning,omitempty"`
}

// String writes file:line: column: reason, with the value.
func (p RowProblem) String() string {
	s := fmt.Sprintf("%s:%d: ", p.File, p.Line)
	if p.Column != "" {
		s += p.Column + ": "
	}
	if p.Value != "" {
		s += fmt.Sprintf("%q: ", p.Value)
	}
	return s + p.Reason
}

// ImportReport says what an import did, or would do.
type ImportReport struct {
	Places   int          `json:"places"`
	Vessels  int          `json:"vessels"`
	Batches  int          `json:"batches"`
	Entries  int          `json:"entries"`
	Problems []RowProblem `json:"problems"`
	Warnings []RowProblem `json:"warnings"`
	Written  bool         `json:"written"`
	Issued   []string     `json:"issued_codes,omitempty"` // for vessels without a code, in order
}

// Import takes all rows or none. Every bad row is in the report; then nothing
// was written. The rows are tried against the whole history, each in its turn
// by when it happened.
func (b *Book) Import(who string, set ImportSet, dryRun bool) (ImportReport, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	run := &importRun{book: b, set: set, who: who, state: cellar.NewState(), doubtful: make(map[string]bool)}
	for name := range set.Doubtful {
		run.doubtful[name] = true
	}
	run.report.Problems = append(run.report.Problems, set.Problems...)
	if err := run.try(); err != nil {
		return run.report, err
	}
	run.sortReport()
	if len(run.report.Problems) > 0 || dryRun || len(run.drafts) == 0 {
		return run.report, nil
	}
	if err := run.state.Check(); err != nil {
		return run.report, err
	}
	written, err := b.append(run.drafts)
	if err != nil {
		return run.report, err
	}
	run.report.Written = true
	b.model = nil
	b.moveOn(run.state, written)
	return run.report, nil
}

// importRun is an import under way.
type importRun struct {
	book     *Book
	set      ImportSet
	who      string
	state    *cellar.State
	drafts   []journal.Draft
	report   ImportReport
	doubtful map[string]bool
}

// step is one thing of the timeline: an entry that is there, or a row.
type step struct {
	entry cellar.Entry         // there already, or made of a registration
	row   *Row[cellar.Request] // nil unless it is a row of entries.csv
	at    time.Time
	first int // what is registered comes before what happens at the same instant
	order int
}

func (r *importRun) try() error {
	standing := cellar.Standing(r.book.entries)
	for _, e := range standing {
		if err := r.state.Define(e); err != nil {
			return err
		}
	}
	timeline := make([]step, 0, len(standing)+len(r.set.Entries)+len(r.set.Batches))
	for _, e := range standing {
		timeline = append(timeline, step{entry: e, at: e.HappenedAt, first: firstOf(e.Fact), order: len(timeline)})
	}
	r.registerPlaces()
	r.registerVessels()
	for _, e := range r.registerBatches() {
		timeline = append(timeline, step{entry: e, at: e.HappenedAt, order: len(timeline)})
	}
	for i := range r.set.Entries {
		row := &r.set.Entries[i]
		timeline = append(timeline, step{row: row, at: row.Value.When, first: 1, order: len(timeline)})
	}
	slices.SortStableFunc(timeline, func(a, b step) int {
		if c := a.at.Compare(b.at); c != 0 {
			return c
		}
		return cmp.Or(cmp.Compare(a.first, b.first), cmp.Compare(a.order, b.order))
	})
	for _, s := range timeline {
		if err := r.apply(s); err != nil {
			return err
		}
	}
	return nil
}

func firstOf(f cellar.Fact) int {
	if _, ok := f.(*cellar.BatchFact); ok {
		return 0
	}
	return 1
}

func (r *importRun) apply(s step) error {
	if s.row != nil {
		r.applyRow(s.row)
		return nil
	}
	err := r.state.Apply(s.entry)
	if err != nil && len(r.report.Problems) == 0 {
		return fmt.Errorf("with these rows, what is in the book already no longer holds: %w", err)
	}
	return nil
}

func (r *importRun) applyRow(row *Row[cellar.Request]) {
	if r.dependsOnDoubt(row.Value) {
		return
	}
	if r.there(row.File, row.Line, row.ID) {
		return
	}
	fact, questions, err := cellar.Resolver{State: r.state, Now: r.book.edge.Now()}.Resolve(row.Value)
	if err == nil {
		err = r.add(row.ID, row.Value.When, fact)
	}
	if err != nil {
		r.refuse(row, err)
		return
	}
	r.report.Entries++
	for _, q := range append(questions, r.book.questionClosed(row.Value, fact)...) {
		r.report.Warnings = append(r.report.Warnings, RowProblem{
			File: row.File, Line: row.Line, Column: q.Field, Reason: q.Text, Warning: true,
		})
	}
}

func (r *importRun) dependsOnDoubt(q cellar.Request) bool {
	for _, name := range []string{q.Vessel, q.From} {
		if r.doubtful[name] {
			return true
		}
		if v, ok := r.state.FindVessel(name); ok && r.doubtful[v.Code] {
			return true
		}
	}
	return false
}

// refuse notes a bad row. Everything that is wrong is to be reported at once, so
// a vessel is put in doubt only if later rows would be refused for want of
// what this one should have put into it.
func (r *importRun) refuse(row *Row[cellar.Request], err error) {
	r.problem(row.File, row.Line, err)
	v, known := r.state.FindVessel(row.Value.Vessel)
	if !known {
		return
	}
	empty := r.state.IsEmpty(v.Code)
	switch row.Value.Entry {
	case "fill":
		if empty {
			r.doubt(v.Code)
		}
	case "top_up", "transfer":
		if !empty {
			r.doubt(v.Code)
		}
	}
}

// doubt puts a vessel or batch in doubt, under its registered code too.
func (r *importRun) doubt(name string) {
	if v, ok := r.state.FindVessel(name); ok {
		name = v.Code
	}
	if name != "" {
		r.doubtful[name] = true
	}
}

func (r *importRun) problem(file string, line int, err error) {
	found := RowProblem{File: file, Line: line, Reason: err.Error()}
	var p *cellar.Problem
	if errors.As(err, &p) {
		found.Column, found.Value, found.Reason = p.Field, p.Value, p.Reason
	}
	r.report.Problems = append(r.report.Problems, found)
}

// add applies a fact to the state being built and drafts it.
func (r *importRun) add(id string, when time.Time, fact cellar.Fact) error {
	draft, err := r.book.draft(r.book.edge, id, r.who, when, fact)
	if err != nil {
		return err
	}
	e := cellar.Entry{
		Seq: r.book.head.Seq + uint64(len(r.drafts)) + 1, ID: draft.ID, RecordedAt: draft.RecordedAt,
		HappenedAt: when, Who: r.who, Fact: fact,
	}
	if err := r.state.Apply(e); err != nil {
		return err
	}
	r.drafts = append(r.drafts, draft)
	return nil
}

func (r *importRun) sortReport() {
	for _, list := range [][]RowProblem{r.report.Problems, r.report.Warnings} {
		slices.SortStableFunc(list, func(a, b RowProblem) int {
			return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line))
		})
	}
}
