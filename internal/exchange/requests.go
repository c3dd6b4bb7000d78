package exchange

import (
	"fmt"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// requestsOf gives the rows that say what an entry did; a registration has
// none, and what rows have no words for is a note.
func requestsOf(s *cellar.State, e cellar.Entry) []cellar.Request {
	w := rewriter{state: s, seq: e.Seq, blank: cellar.Request{When: e.HappenedAt, Entry: e.Fact.Kind()}}
	switch f := e.Fact.(type) {
	case *cellar.Fill:
		return w.poured(f.Pour)
	case *cellar.TopUp:
		return w.poured(f.Pour)
	case *cellar.Transfer:
		return w.poured(f.Pour)
	case *cellar.Sample:
		return []cellar.Request{w.sample(f)}
	case *cellar.Draw:
		return []cellar.Request{w.taken(f.Vessel, f.Measure, f.Note)}
	case *cellar.Spill:
		return []cellar.Request{w.taken(f.Vessel, f.Measure, f.Note)}
	case *cellar.Empty:
		return []cellar.Request{w.empty(f)}
	case *cellar.Reduce:
		return []cellar.Request{w.reduce(f.Vessel, f.Water, f.Note)}
	case *cellar.Blend:
		return w.blend(f)
	case *cellar.Bottle:
		return []cellar.Request{w.bottle(f)}
	case *cellar.Move:
		return []cellar.Request{w.note(cellar.VesselAccount(f.Vessel), joined("moved to "+f.Place, f.Note))}
	case *cellar.Note:
		return []cellar.Request{w.note(f.About, f.Note)}
	case *cellar.BatchFact:
		return w.carried(f)
	}
	return w.wordless(e.Fact)
}

// carried takes left-overs out of the vessels that they came from; what came
// from a batch is in what the batch gave.
func (w rewriter) carried(f *cellar.BatchFact) []cellar.Request {
	var rows []cellar.Request
	for _, c := range f.CarriedIn {
		if code, ok := c.From.Vessel(); ok {
			w.blank.Entry = "draw"
			rows = append(rows, w.taken(code, cellar.Measure{Amount: c.Amount}, "carried into batch "+f.Name))
		}
	}
	return rows
}

// wordless notes that something was done to a vessel that a row cannot say.
func (w rewriter) wordless(f cellar.Fact) []cellar.Request {
	subjects := f.Subjects()
	if _, registers := f.(*cellar.VesselFact); registers || len(subjects) == 0 {
		return nil
	}
	if _, ok := subjects[0].Vessel(); !ok {
		return nil
	}
	return []cellar.Request{w.note(subjects[0], f.Kind()+": see the journal")}
}

// rewriter turns the fact of one entry back into rows.
type rewriter struct {
	state *cellar.State
	seq   uint64
	blank cellar.Request
}

// as starts a row of another kind.
func (w rewriter) as(kind, vessel string) cellar.Request {
	q := w.blank
	q.Entry, q.Vessel = kind, vessel
	return q
}

func (w rewriter) poured(p cellar.Pour) []cellar.Request {
	return w.pour(w.blank.Entry, p)
}

func (w rewriter) pour(kind string, p cellar.Pour) []cellar.Request {
	q := w.as(kind, p.Vessel)
	q.From, q.Note = w.source(p.From), p.Note
	code, fromVessel := p.From.Vessel()
	if fromVessel && p.Empties && w.tookAll(code) {
		return []cellar.Request{q} // without a volume it is everything again
	}
	withMeasure(&q, p.Measure, &q.VolumeL)
	rows := []cellar.Request{q}
	if fromVessel && p.Empties {
		rows = append(rows, w.as("empty", code))
	}
	return rows
}

// tookAll says whether the entry left nothing in a vessel that had to be
// posted as lost, so that there is nothing to empty after it.
func (w rewriter) tookAll(code string) bool {
	const gram = 1000 // mg
	e, ok := w.event(code)
	return ok && max(e.Lost.EthanolMg, -e.Lost.EthanolMg, e.Lost.WaterMg, -e.Lost.WaterMg) <= gram
}

// event finds what the entry did to a vessel.
func (w rewriter) event(code string) (cellar.Event, bool) {
	v, ok := w.state.Vessels[code]
	if !ok {
		return cellar.Event{}, false
	}
	i := slices.IndexFunc(v.Events, func(e cellar.Event) bool { return e.Entry.Seq == w.seq })
	if i < 0 {
		return cellar.Event{}, false
	}
	return v.Events[i], true
}

// source names a batch or a vessel so that it is found again; a batch that was
// opened by its fill is opened again.
func (w rewriter) source(a cellar.Account) string {
	_, name := a.Split()
	_, isVessel := w.state.FindVessel(name)
	b, isBatch := w.state.Batches[name]
	switch {
	case isVessel && isBatch:
		return string(a)
	case isBatch && b.Unnamed:
		return ""
	}
	return name
}

// withMeasure writes an amount down: as it was read if the file can say so,
// else at 20 °C.
func withMeasure(q *cellar.Request, m cellar.Measure, volume **float64) {
	if m.VolumeL == 0 {
		*volume, q.StrengthPct = number(m.Amount.Volume()), number(m.Amount.Strength())
		return
	}
	*volume = number(m.VolumeL)
	q.TempC = celsius(m.TempC)
	q.StrengthPct = number(m.StrengthPct)
	withReading(q, m.Reading)
}

// withReading writes a raw reading where the file has the words for it, and
// else the corrected strength.
func withReading(q *cellar.Request, r *cellar.Reading) {
	switch {
	case r == nil:
	case r.Scale == "vol" && r.GlassC == spirit.Reference && r.Residue == 0 && r.Added == 0 && r.TempC != nil && sameTemperature(q.TempC, r.TempC):
		value := r.Value
		q.ReadingPct, q.TempC, q.StrengthPct = &value, celsius(r.TempC), nil
	default:
		q.StrengthPct = number(r.StrengthPct)
	}
}

// sameTemperature says whether a row's one temperature serves the reading too.
func sameTemperature(row *float64, reading *spirit.Celsius) bool {
	return row == nil || *row == float64(*reading)
}

func (w rewriter) sample(f *cellar.Sample) cellar.Request {
	q := w.as("sample", f.Vessel)
	q.Note = f.Note
	if f.Taken != nil {
		q.DrawnL, q.TempC = number(f.Taken.VolumeL), celsius(f.Taken.TempC)
	}
	switch c := f.Content; {
	case c == nil:
	case c.Method == "weight":
		read := c.Read
		q.GrossKg = &read
	case c.Method == "volume":
		read := c.Read
		q.VolumeL, q.TempC = &read, celsius(c.TempC)
	default:
		q.VolumeL = number(c.VolumeL)
	}
	atReference := q.TempC == nil && (q.VolumeL != nil || q.DrawnL != nil)
	if f.Reading != nil && atReference && f.Reading.Scale != "corrected" {
		q.StrengthPct = number(f.Reading.StrengthPct) // its temperature would move the volume
		return q
	}
	withReading(&q, f.Reading)
	if q.VolumeL == nil && q.GrossKg == nil && q.DrawnL == nil && q.StrengthPct == nil && q.ReadingPct == nil && q.Note == "" {
		q.Note = "tasted" // a row of nothing else would be refused
	}
	return q
}

func (w rewriter) taken(vessel string, m cellar.Measure, note string) cellar.Request {
	q := w.as(w.blank.Entry, vessel)
	q.Note = note
	withMeasure(&q, m, &q.DrawnL)
	return q
}

func (w rewriter) empty(f *cellar.Empty) cellar.Request {
	if f.Measure != nil {
		return w.taken(f.Vessel, *f.Measure, f.Note)
	}
	q := w.as("empty", f.Vessel)
	q.Note = f.Note
	return q
}

func (w rewriter) reduce(vessel string, water spirit.Amount, note string) cellar.Request {
	q := w.as("reduce", vessel)
	q.VolumeL, q.Note = number(water.Volume()), note
	return q
}

func (w rewriter) blend(f *cellar.Blend) []cellar.Request {
	kind := "transfer"
	if e, ok := w.event(f.Into); ok && e.Filled {
		kind = "fill"
	}
	var rows []cellar.Request
	for i, d := range f.Draws {
		p := cellar.Pour{Vessel: f.Into, From: d.From, Measure: d.Measure, Empties: d.Empties}
		if i == 0 {
			p.Note = f.Note
		}
		rows = append(rows, w.pour(kind, p)...)
		kind = "transfer"
	}
	if !f.Water.IsZero() {
		rows = append(rows, w.reduce(f.Into, f.Water, ""))
	}
	return rows
}

func (w rewriter) bottle(f *cellar.Bottle) cellar.Request {
	kind := "draw"
	if f.Empties {
		kind = "empty"
	}
	q := w.as(kind, f.Vessel)
	q.Note = joined(fmt.Sprintf("bottled as lot %s at %s %% vol", f.Lot, exact(float64(f.LabelPct))), f.Note)
	withMeasure(&q, f.Measure, &q.DrawnL)
	return q
}

func (w rewriter) note(about cellar.Account, text string) cellar.Request {
	q := w.as("note", "")
	q.Note = text
	if code, ok := about.Vessel(); ok {
		q.Vessel = code
	} else {
		q.From = w.source(about)
	}
	return q
}

// joined puts words before a note, within the length that a note may have.
func joined(words, note string) string {
	if note == "" {
		return words
	}
	runes := []rune(words + "; " + note)
	return string(runes[:min(len(runes), cellar.LongestNote)])
}

func number[T ~float64](x T) *float64 {
	f := float64(x)
	return &f
}

func celsius(t *spirit.Celsius) *float64 {
	if t == nil {
		return nil
	}
	return number(*t)
}
