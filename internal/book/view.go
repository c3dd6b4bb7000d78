package book

import (
	"slices"
	"sync"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
)

// Moment says which day a question is about, and as known on which day. The
// zero value is now, with all that is known.
type Moment struct {
	On    cellar.Day // 0: today
	Known cellar.Day // 0: all that is known
}

// View is the book as it stands at a moment. Nothing in it changes while it is
// used, whatever is written meanwhile.
type View struct {
	State   *cellar.State
	Model   *loss.Model
	At      time.Time  // the moment of the estimates
	On      cellar.Day // the same as a date
	Known   cellar.Day // 0: all that is known
	Entries []cellar.Entry
	Head    uint64 // number of the last entry that it knows

	memo *memo
	book *Book  // nil: it is of a past moment
	turn uint64 // which of the book's turns it shows
	fit  uint64 // and which reading of the whole stock
}

// See shows the book at a moment.
func (b *Book) See(m Moment, look func(*View) error) error {
	now := b.edge.Now()
	if m.Known == 0 && (m.On == 0 || m.On == cellar.DayOf(now)) {
		return b.seeLive(now, look)
	}
	view, err := b.pastView(m, now)
	if err != nil {
		return err
	}
	return look(view)
}

// Glance is See for what can do without the estimator: until it has read the
// stock for the first time, Model is nil.
func (b *Book) Glance(m Moment, look func(*View) error) error {
	now := b.edge.Now()
	if m.Known != 0 || m.On != 0 && m.On != cellar.DayOf(now) {
		return b.See(m, look)
	}
	b.Warm()
	defer b.resumeTable()
	return b.lookNow(now, look)
}

// SeeSoon is See of a stock that is soon read, and Glance of a large one.
func (b *Book) SeeSoon(m Moment, look func(*View) error) error {
	if len(b.shown.Load().state.Vessels) > smallStock {
		return b.Glance(m, look)
	}
	return b.See(m, look)
}

func (b *Book) seeLive(now time.Time, look func(*View) error) error {
	s := b.read()
	defer b.attend()()
	return look(s.view(b, now))
}

func (b *Book) lookNow(now time.Time, look func(*View) error) error {
	defer b.attend()()
	return look(b.shown.Load().view(b, now))
}

// view is what is shown, with the estimates of a time of today.
func (s *standing) view(b *Book, now time.Time) *View {
	on := cellar.DayOf(now)
	return &View{
		State: s.state, Model: s.model, At: now, On: on, Entries: s.entries, Head: s.head.Seq,
		memo: b.memo.forDay(on), book: b, turn: s.turn, fit: s.fit,
	}
}

// Warm fits the model in the background, so that the first page need not.
func (b *Book) Warm() {
	if b.HasRead() {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.model == nil && !b.fitting {
		b.fitInBackground()
	}
}

// HasRead says whether the estimator has read the stock.
func (b *Book) HasRead() bool { return b.shown.Load().model != nil }

// read waits until the estimator has read the stock and returns what is shown
// then. What can do without is answered meanwhile.
func (b *Book) read() *standing {
	for {
		if s := b.shown.Load(); s.model != nil {
			return s
		}
		b.Warm()
		b.mu.Lock()
		there, done := b.model != nil, b.fitDone
		b.mu.Unlock()
		if !there {
			<-done
		}
	}
}

// mostPastViews is how many past moments are kept worked out.
const mostPastViews = 4

// pastViews keeps the moments last asked for, newest first, as of one turn.
type pastViews struct {
	building sync.Mutex // one is built at a time: each takes as long as opening the book
	turn     uint64
	moments  []Moment
	views    []*View
}

func (p *pastViews) find(m Moment, turn uint64) *View {
	if i := slices.Index(p.moments, m); i >= 0 && p.turn == turn {
		return p.views[i]
	}
	return nil
}

func (p *pastViews) keep(m Moment, v *View, turn uint64) {
	if p.turn != turn {
		p.turn, p.moments, p.views = turn, nil, nil
	}
	p.moments = append([]Moment{m}, p.moments...)
	p.views = append([]*View{v}, p.views...)
	if len(p.views) > mostPastViews {
		p.moments, p.views = p.moments[:mostPastViews], p.views[:mostPastViews]
	}
}

func (b *Book) pastView(m Moment, now time.Time) (*View, error) {
	s := b.shown.Load()
	if m.Known == 0 {
		s = b.read()
	}
	b.past.building.Lock()
	defer b.past.building.Unlock()
	if v := b.past.find(m, s.turn); v != nil {
		return v, nil
	}
	v, err := s.buildPast(m, now)
	if err == nil {
		b.past.keep(m, v, s.turn)
	}
	return v, err
}

// buildPast folds what was known up to the end of the day asked for. With all
// that is known the live model serves, which also learnt from later samples;
// as known earlier it is fitted on what was recorded by then.
func (s *standing) buildPast(m Moment, now time.Time) (*View, error) {
	entries, model := s.entries, s.model
	if m.Known != 0 {
		entries = knownBy(s.entries, m.Known)
		all, err := cellar.Fold(entries, time.Time{})
		if err != nil {
			return nil, err
		}
		model = loss.Fit(lossStock(all))
	}
	on := m.On
	if on == 0 {
		on = cellar.DayOf(now)
	}
	at := endOf(on)
	state, err := cellar.Fold(entries, at)
	if err != nil {
		return nil, err
	}
	v := &View{State: state, Model: model, At: at, On: on, Known: m.Known, Entries: entries, memo: new(memo).forDay(on)}
	if n := len(entries); n > 0 {
		v.Head = entries[n-1].Seq
	}
	return v, nil
}

// endOf is the last second of a day, UTC.
func endOf(d cellar.Day) time.Time { return (d + 1).Time().Add(-time.Second) }

// knownBy returns what was recorded up to the end of a day.
func knownBy(entries []cellar.Entry, day cellar.Day) []cellar.Entry {
	for i, e := range entries {
		if cellar.DayOf(e.RecordedAt.UTC()) > day {
			return entries[:i:i]
		}
	}
	return entries[:len(entries):len(entries)]
}
