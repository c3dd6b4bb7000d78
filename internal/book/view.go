package book

import (
	"slices"
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

// View is the book as it stands at a moment. It may be used until the function
// that it was given to returns.
type View struct {
	State   *cellar.State
	Model   *loss.Model
	At      time.Time  // the moment of the estimates
	On      cellar.Day // the same as a date
	Known   cellar.Day // 0: all that is known
	Entries []cellar.Entry
	Head    uint64 // number of the last entry that it knows

	memo *memo
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

func (b *Book) seeLive(now time.Time, look func(*View) error) error {
	b.ensureModel()
	return b.lookNow(now, look)
}

func (b *Book) lookNow(now time.Time, look func(*View) error) error {
	b.mu.RLock()
	defer b.mu.RUnlock()
	on := cellar.DayOf(now)
	return look(&View{
		State: b.state, Model: b.model, At: now, On: on, Entries: b.entries, Head: b.head.Seq, memo: b.memo.forDay(on),
	})
}

// Warm fits the model in the background, so that the first page need not.
func (b *Book) Warm() {
	if b.hasModel() {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.model == nil && !b.fitting {
		b.fitInBackground()
	}
}

func (b *Book) hasModel() bool {
	b.mu.RLock()
	defer b.mu.RUnlock()
	return b.model != nil
}

// ensureModel returns when there is a model. The lock is free meanwhile, so that
// what can do without one is answered.
func (b *Book) ensureModel() {
	for !b.hasModel() {
		b.Warm()
		b.mu.RLock()
		there, done := b.model != nil, b.fitDone
		b.mu.RUnlock()
		if there { // somebody who writes may have fitted it meanwhile
			return
		}
		<-done
	}
}

// mostPastViews is how many past moments are kept worked out.
const mostPastViews = 4

// pastViews keeps the moments last asked for, newest first.
type pastViews struct {
	moments []Moment
	views   []*View
}

func (p *pastViews) forget() { *p = pastViews{} }

func (p *pastViews) find(m Moment) *View {
	if i := slices.Index(p.moments, m); i >= 0 {
		return p.views[i]
	}
	return nil
}

func (p *pastViews) keep(m Moment, v *View) {
	p.moments = append([]Moment{m}, p.moments...)
	p.views = append([]*View{v}, p.views...)
	if len(p.views) > mostPastViews {
		p.moments, p.views = p.moments[:mostPastViews], p.views[:mostPastViews]
	}
}

func (b *Book) pastView(m Moment, now time.Time) (*View, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if v := b.past.find(m); v != nil {
		return v, nil
	}
	v, err := b.buildPast(m, now)
	if err == nil {
		b.past.keep(m, v)
	}
	return v, err
}

// buildPast folds what was known up to the end of the day asked for. With all
// that is known the live model serves, which also learnt from later samples;
// as known earlier it is fitted on what was recorded by then.
func (b *Book) buildPast(m Moment, now time.Time) (*View, error) {
	entries, model := b.entries, b.model
	if m.Known != 0 {
		entries = knownBy(b.entries, m.Known)
		all, err := cellar.Fold(entries, time.Time{})
		if err != nil {
			return nil, err
		}
		model = loss.Fit(lossStock(all))
	} else if model == nil {
		model = b.fitted()
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
