package book_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// wild is a book with a random history.
type wild struct {
	*house
	r       *rapid.T
	entries []cellar.Entry // all that was taken
	today   cellar.Day     // of the story: most is written up as it happens
}

var (
	wildFirst = cellar.Date(2020, 1, 1)
	wildLast  = cellar.Date(2020, 12, 31)
	wildCodes = []string{"C1", "C2", "H1", "J1", "T1", "T2"}
)

func newWild(r *rapid.T) *wild {
	w := &wild{house: newHouse(r), r: r, today: wildFirst}
	for code, v := range map[string]struct {
		kind     cellar.VesselKind
		capacity float64
	}{"C1": {cellar.Cask, 60}, "C2": {cellar.Cask, 20}, "H1": {cellar.Hybrid, 40}, "J1": {cellar.Jar, 10}, "T1": {cellar.Tank, 100}, "T2": {cellar.Tank, 50}} {
		w.vessel(code, v.kind, v.capacity)
	}
	w.clock.on("2021-01-01")
	w.batch("run 1", "2020-01-01", 150, 62)
	w.batch("run 2", "2020-05-01", 80, 58)
	return w
}

func (w *wild) day(label string) cellar.Day {
	return cellar.Day(rapid.IntRange(int(wildFirst), int(wildLast)).Draw(w.r, label))
}

func (w *wild) code(label string) string { return rapid.SampledFrom(wildCodes).Draw(w.r, label) }

// likely is a vessel that is empty, or that is not, where there is one.
func (w *wild) likely(empty bool) string {
	var fit []string
	w.must(w.See(book.Moment{}, func(v *book.View) error {
		for _, code := range wildCodes {
			if v.State.IsEmpty(code) == empty {
				fit = append(fit, code)
			}
		}
		return nil
	}))
	if len(fit) == 0 {
		return w.code("vessel")
	}
	return rapid.SampledFrom(fit).Draw(w.r, "vessel")
}

func (w *wild) litres(most float64) *float64 {
	return ptr(float64(rapid.IntRange(1, 1000).Draw(w.r, "litres")) / 1000 * most)
}

// tries records a random entry on a random day, if it can have happened.
func (w *wild) tries() {
	q := cellar.Request{
		Entry:       rapid.SampledFrom([]string{"fill", "fill", "fill", "top_up", "top_up", "transfer", "transfer", "sample", "sample", "sample", "draw", "draw", "spill", "reduce", "bottle", "empty", "rinse", "rinse", "blend", "blend", "void"}).Draw(w.r, "entry"),
		StrengthPct: ptr(float64(rapid.IntRange(450, 620).Draw(w.r, "strength")) / 10),
	}
	q.Vessel = w.likely(q.Entry == "fill" || q.Entry == "rinse")
	when := w.today
	if rapid.IntRange(0, 4).Draw(w.r, "late") == 0 {
		when = w.day("when")
	} else if w.today < wildLast {
		w.today += cellar.Day(rapid.IntRange(0, 5).Draw(w.r, "days"))
	}
	q.When = min(when, wildLast).Time().Add(time.Duration(8*60+len(w.entries)) * time.Minute)
	source := rapid.SampledFrom([]string{"run 1", "run 2", w.likely(false)}).Draw(w.r, "from")
	switch q.Entry {
	case "fill", "top_up", "transfer":
		q.From, q.VolumeL, q.All = source, w.litres(15), rapid.IntRange(0, 3).Draw(w.r, "all") == 0
	case "sample":
		q.VolumeL, q.DrawnL = w.litres(40), w.litres(0.2)
	case "draw", "spill":
		q.VolumeL = w.litres(4)
	case "reduce":
		q.WaterKg, q.StrengthPct = w.litres(5), nil
	case "bottle":
		q.Lot, q.Bottles = fmt.Sprint("L", len(w.entries)), []cellar.Bottles{{SizeL: 0.5, Count: rapid.IntRange(1, 20).Draw(w.r, "bottles")}}
		q.All = rapid.Bool().Draw(w.r, "all")
	case "empty":
		q.VolumeL = w.litres(20)
	case "rinse":
		q.VolumeL, q.StrengthPct, q.Into = w.litres(1), ptr(10.0), rapid.SampledFrom([]string{"", "T1", "T2"}).Draw(w.r, "into")
	case "blend":
		q.WaterKg, q.Draws = w.litres(3), []cellar.RequestDraw{{From: source, VolumeL: w.litres(10), StrengthPct: ptr(60.0)}, {From: w.likely(false), VolumeL: w.litres(10), StrengthPct: ptr(60.0)}}
	case "void":
		if len(w.entries) == 0 {
			return
		}
		q = cellar.Request{When: w.clock.now, Entry: "void", Void: rapid.SampledFrom(w.entries).Draw(w.r, "taken back").ID}
	}
	if e, err := w.Record(book.Submission{Who: "keeper", Request: q, Sure: true}); err == nil {
		w.entries = append(w.entries, e)
	}
}

func (w *wild) periodAndVessels() (book.Period, []string) {
	from, to := w.day("from"), w.day("to")
	if from > to {
		from, to = to, from
	}
	return book.Period{From: from, To: to}, w.someVessels()
}

func (w *wild) someVessels() []string {
	chosen := rapid.SliceOfNDistinct(rapid.SampledFrom(wildCodes), 0, len(wildCodes), rapid.ID[string]).Draw(w.r, "vessels")
	slices.Sort(chosen)
	return chosen
}

// Whatever happened and in whatever order it was written down: every statement
// adds up, is what a plain reading of the entries gives, and a closed period
// stays as it was while the next shows what was found out.
func TestStatementsOfRandomHistories(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := newWild(r)
		for range rapid.IntRange(20, 120).Draw(r, "entries") {
			w.tries()
		}
		for range 3 {
			p, codes := w.periodAndVessels()
			s := w.statement(p, codes...)
			addsUp(r, s)
			w.isAsRead(s)
		}
		w.closesAndGoesOn()
	})
}

// again opens the journal anew, which must give the same statement.
func (w *wild) again(s *book.Statement) {
	reopened, err := book.Open(w.Journal(), w.clock.edge())
	w.must(err)
	w.must(reopened.See(book.Moment{}, func(v *book.View) error {
		same, err := v.Statement(s.Period, s.Vessels)
		if err == nil && !sameFigures(same.Sections, s.Sections) {
			w.t.Errorf("opened anew the statement is %+v, was %+v", same.Sections, s.Sections)
		}
		return err
	}))
}

// closesAndGoesOn closes a period, lets more be written down, and looks at the
// period again and at the next.
func (w *wild) closesAndGoesOn() {
	p, codes := w.periodAndVessels()
	before := w.statement(p, codes...)
	w.closes(p, codes...)
	for range 8 {
		w.tries()
	}
	if again := w.statement(p, codes...); !sameFigures(again.Sections, before.Sections) {
		w.t.Errorf("the closed statement changed from %+v to %+v", before.Sections, again.Sections)
	}
	if p.To >= wildLast {
		return
	}
	next := w.statement(book.Period{From: p.To + 1, To: wildLast}, codes...)
	addsUp(w.t, next)
	w.again(next)
	for i, section := range next.Sections {
		lines := before.Sections[i].Lines
		if got, want := section.Line("opening"), lines[len(lines)-1].Amount; got != want {
			w.t.Errorf("%s opens with %+v, was closed with %+v", section.Name, got, want)
		}
		if got, want := section.Line("opening").Add(section.Line("adjustment")), w.held(section.Name, codes, p.To); got != want {
			w.t.Errorf("%s: opening and adjustment are %+v, %+v was there", section.Name, got, want)
		}
	}
}

// fold is the state of all that was recorded up to the end of a day; every
// entry here is written in UTC.
func (w *wild) fold(day cellar.Day) *cellar.State {
	var state *cellar.State
	w.must(w.See(book.Moment{}, func(v *book.View) (err error) {
		state, err = cellar.Fold(v.Entries, (day + 1).Time().Add(-time.Second))
		return err
	}))
	return state
}

// held sums what a section is about out of a fold.
func (w *wild) held(section string, codes []string, day cellar.Day) (sum spirit.Amount) {
	state := w.fold(day)
	for _, a := range state.Accounts() {
		class, name := a.Split()
		chosen := len(codes) == 0 || slices.Contains(codes, name)
		switch {
		case class == "vessel" && (section == "store" || section == "vessels" && chosen),
			class == "batch" && (section == "store" || section == "unfilled"),
			class == "indrink" && section == "wood" && chosen:
			sum = sum.Add(state.Balance(a))
		}
	}
	return sum
}

// isAsRead holds the vessels' section to a plain reading of the entries.
func (w *wild) isAsRead(s *book.Statement) {
	want := make(map[string]spirit.Amount)
	w.must(w.See(book.Moment{}, func(v *book.View) error {
		for _, e := range cellar.Standing(v.Entries) {
			if e.Day() >= s.From && e.Day() <= s.To {
				readInto(want, e.Fact, func(a cellar.Account) bool {
					code, ok := a.Vessel()
					return ok && (len(s.Vessels) == 0 || slices.Contains(s.Vessels, code))
				})
			}
		}
		return nil
	}))
	want["opening"], want["closing"] = w.held("vessels", s.Vessels, s.From-1), w.held("vessels", s.Vessels, s.To)
	got := section(s, "vessels")
	gone := want["opening"].Sub(want["closing"])
	for _, key := range []string{"opening", "closing", "filled", "moved_in", "moved_out", "sampled", "drawn", "spilled", "bottled"} {
		if got.Line(key) != want[key] {
			w.t.Errorf("%s from %s to %s of %v: %+v, read from the entries %+v", key, s.From, s.To, s.Vessels, got.Line(key), want[key])
		}
	}
	water := got.Line("reduced").Add(got.Line("rinsed"))
	if water != want["water"] {
		w.t.Errorf("water and rinses are %+v, want %+v", water, want["water"])
	}
	for _, key := range []string{"filled", "moved_in", "moved_out", "sampled", "drawn", "spilled", "bottled", "water"} {
		gone = gone.Add(want[key])
	}
	lost := spirit.Amount{}
	for _, key := range []string{"gains", "evaporation", "indrink", "handling", "unexplained"} {
		lost = lost.Sub(got.Line(key))
	}
	if lost != gone {
		w.t.Errorf("losses add up to %+v, %+v is missing", lost, gone)
	}
}

// readInto adds what one entry did, as it says, to some vessels.
func readInto(sums map[string]spirit.Amount, fact cellar.Fact, inside func(cellar.Account) bool) {
	add := func(key string, a spirit.Amount) { sums[key] = sums[key].Add(a) }
	out := func(key, vessel string, a spirit.Amount) {
		if inside(cellar.VesselAccount(vessel)) {
			add(key, a.Neg())
		}
	}
	pour := func(from cellar.Account, into string, a spirit.Amount) {
		_, isBatch := from.Batch()
		in := inside(cellar.VesselAccount(into))
		switch {
		case in && isBatch:
			add("filled", a)
		case in && !inside(from):
			add("moved_in", a)
		case !in && inside(from):
			add("moved_out", a.Neg())
		}
	}
	switch f := fact.(type) {
	case *cellar.Fill:
		pour(f.From, f.Vessel, f.Measure.Amount)
	case *cellar.TopUp:
		pour(f.From, f.Vessel, f.Measure.Amount)
	case *cellar.Transfer:
		pour(f.From, f.Vessel, f.Measure.Amount)
	case *cellar.Blend:
		for _, d := range f.Draws {
			pour(d.From, f.Into, d.Measure.Amount)
		}
		out("water", f.Into, f.Water.Neg())
	case *cellar.Reduce:
		out("water", f.Vessel, f.Water.Neg())
	case *cellar.Rinse:
		if code, ok := f.Into.Vessel(); ok {
			out("water", code, f.Measure.Amount.Neg())
		}
	case *cellar.Sample:
		if f.Taken != nil {
			out("sampled", f.Vessel, f.Taken.Amount)
		}
	case *cellar.Draw:
		out("drawn", f.Vessel, f.Measure.Amount)
	case *cellar.Spill:
		out("spilled", f.Vessel, f.Measure.Amount)
	case *cellar.Bottle:
		out("bottled", f.Vessel, f.Measure.Amount)
	case *cellar.Empty:
		if f.Measure != nil {
			out("drawn", f.Vessel, f.Measure.Amount)
		}
	}
}
