package book

import (
	"errors"
	"slices"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
	"example.org/croze/internal/spirit"
)

const secondsPerDay = 24 * 60 * 60

// dayNumber is a time as the estimator counts it: days since 1970-01-01 UTC.
func dayNumber(t time.Time) float64 { return float64(t.UnixNano()) / 1e9 / secondsPerDay }

// timeOfDay is the inverse of dayNumber, to the second.
func timeOfDay(day float64) time.Time {
	return time.Unix(int64(day*secondsPerDay), 0).UTC()
}

// lossVessel is a vessel's history as the estimator takes it: what was known
// to go in and out, and what was measured. What gauges posted to the angels is
// not told to it: that is what it estimates.
func lossVessel(v *cellar.VesselState) loss.Vessel {
	out := loss.Vessel{
		Code: v.Code, Wood: v.Wood, Place: v.Place, Kind: loss.Kind(v.Kind),
		WoodNew: v.WoodState == cellar.NewWood, Capacity: v.CapacityL, WoodArea: v.WoodArea(),
	}
	for i, e := range v.Events {
		out.Events = appendLossEvents(out.Events, e, 10*i)
		if move, ok := e.Entry.Fact.(*cellar.Move); ok {
			out.Moves = append(out.Moves, loss.Move{At: dayNumber(e.Entry.HappenedAt), Order: i, Place: move.Place})
		}
	}
	if len(out.Moves) == 0 {
		out.Place = v.PlacedAt // a correction of the register moves nothing
	}
	return out
}

// lossVessels are those of some vessels that are registered still.
func lossVessels(s *cellar.State, codes []string) (vessels []loss.Vessel) {
	for _, code := range codes {
		if v := s.Vessels[code]; v != nil {
			vessels = append(vessels, lossVessel(v))
		}
	}
	return vessels
}

// appendLossEvents turns one line of history into what the estimator knows: a
// look first, then what came in, what went out, and the end.
func appendLossEvents(events []loss.Event, e cellar.Event, order int) []loss.Event {
	at := dayNumber(e.Entry.HappenedAt)
	add := func(what loss.EventKind, amount spirit.Amount) {
		order++
		events = append(events, loss.Event{At: at, Order: order, What: what, Amount: amount})
	}
	if e.Reading != nil || e.Content != nil {
		order++
		events = append(events, observation(at, order, e))
	}
	switch {
	case e.Filled:
		add(loss.Fill, e.In)
	case !e.In.IsZero():
		add(loss.In, e.In)
	}
	if !e.Out.IsZero() {
		add(loss.Out, e.Out)
	}
	if e.Emptied {
		add(loss.Empty, spirit.Amount{})
	}
	return events
}

func observation(at float64, order int, e cellar.Event) loss.Event {
	o := loss.Event{At: at, Order: order, What: loss.Observe}
	if r := e.Reading; r != nil {
		o.Strength = loss.Measured{Value: float64(r.StrengthPct), Known: true}
		if r.Certified { // what is usual for an instrument says less than the stock does
			o.Strength.SD = float64(r.StrengthSD)
		}
	}
	switch c := e.Content; {
	case c == nil:
	case c.Method == "weight":
		o.NetMass = loss.Measured{Value: float64(c.NetKg), Known: true}
	default:
		o.Volume = loss.Measured{Value: float64(c.VolumeL), SD: float64(c.SDL), Known: true}
	}
	return o
}

func lossStock(s *cellar.State) loss.Stock {
	var stock loss.Stock
	for _, code := range s.VesselCodes() {
		stock.Vessels = append(stock.Vessels, lossVessel(s.Vessels[code]))
	}
	for name, p := range s.Places {
		c := loss.Climate{Place: name, Log: climateLog(s.ClimateOf(name))}
		if p.TempC != nil {
			c.TempC, c.TempKnown = *p.TempC, true
		}
		if p.HumidityPct != nil {
			c.HumidityPct, c.HumidityKnown = *p.HumidityPct, true
		}
		stock.Places = append(stock.Places, c)
	}
	return stock
}

// refitShare of new entries to old is when what the stock has in common is
// fitted again; until then only the vessels concerned are.
const refitShare = 0.05

// refit brings the model up to date after new entries about some vessels:
// these at once, what the stock has in common in the background. The caller
// holds the lock.
func (b *Book) refit(codes []string) {
	if b.model != nil {
		b.model = b.model.Refit(lossVessels(b.state, codes)...)
	}
	if b.fitting {
		b.sinceFit = append(b.sinceFit, codes...)
		return
	}
	if float64(b.unfit) > 20+refitShare*float64(len(b.entries)) {
		b.fitInBackground()
	}
}

// fitInBackground fits the whole stock as it is now, and then catches up with
// the vessels that got entries meanwhile. The caller holds the lock.
func (b *Book) fitInBackground() {
	b.fitting, b.sinceFit, b.unfit = true, nil, 0
	stock, done := lossStock(b.state), make(chan struct{})
	b.fitDone = done
	b.fits.Go(func() {
		defer close(done)
		model := loss.FitGently(stock, b.giveWay)
		b.mu.Lock()
		defer b.mu.Unlock()
		slices.Sort(b.sinceFit)
		model = model.Refit(lossVessels(b.state, slices.Compact(b.sinceFit))...)
		b.model, b.fitting = model, false
		b.showFit()
		b.keepTable()
	})
}

// Wait returns when no fit is running in the background.
func (b *Book) Wait() { b.fits.Wait() }

// vesselsOf lists the vessels that entries are about, in order of first mention;
// a void is about what it takes back.
func vesselsOf(s *cellar.State, all, written []cellar.Entry) []string {
	var codes []string
	seen := make(map[string]bool)
	for _, e := range written {
		subjects := movedBy(e.Fact)
		if void, ok := e.Fact.(*cellar.Void); ok {
			subjects = subjectsOf(all, void.Entry)
		}
		for _, a := range subjects {
			code, ok := a.Vessel()
			if ok && !seen[code] && s.Vessels[code] != nil {
				seen[code] = true
				codes = append(codes, code)
			}
		}
	}
	return codes
}

// movedBy names what a fact is about, nothing for one that changes no vessel.
func movedBy(f cellar.Fact) []cellar.Account {
	switch f.(type) {
	case *cellar.Close, *cellar.Explain:
		return nil
	}
	return f.Subjects()
}

func subjectsOf(all []cellar.Entry, id string) []cellar.Account {
	for _, e := range all {
		if e.ID == id {
			return e.Fact.Subjects()
		}
	}
	return nil
}

// errUnread says that an entry has an amount that nobody measured, and that the
// estimator has not read the stock yet.
var errUnread = errors.New("the estimator has not read the stock yet")

// whenRead does something, and if that needs the estimator, again when it has
// read the stock.
func (b *Book) whenRead(do func() error) error {
	for {
		if err := do(); !errors.Is(err, errUnread) {
			return err
		}
		b.read()
	}
}

// estimator says what a vessel is thought to hold, for amounts that nobody measured.
type estimator struct {
	model  *loss.Model
	unread bool // it was asked, and there is no model
}

// or is an error, or errUnread.
func (e *estimator) or(err error) error {
	if e.unread {
		return errUnread
	}
	return err
}

func (e *estimator) of(code string, at time.Time) (spirit.Amount, bool) {
	if e.model == nil {
		e.unread = true
		return spirit.Amount{}, false
	}
	state, known := e.model.State(code, dayNumber(at))
	if !known || !(state.VolumeL.Mean > 0) {
		return spirit.Amount{}, false
	}
	a, err := spirit.AmountOf(spirit.Litres(state.VolumeL.Mean), spirit.Strength(state.StrengthPct.Mean))
	return a, err == nil
}
