package demo

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/spirit"
)

// Large writes a store of so many vessels into an empty journal, to see how
// pages bear it: each filled once from one of a few hundred runs, most looked at
// a few times since, one in twenty empty. It is plain: what it loses is a
// smooth decay with a little noise. One seed and day give one journal, but for
// the IDs.
func Large(j journal.Journal, vessels int, seed uint64, today time.Time, newID func(time.Time) string) error {
	l := &large{lots: rand.New(rand.NewPCG(seed, 17)), today: today, newID: newID, journal: j}
	l.places()
	l.batches(min(400, vessels/20+1))
	for i := range vessels {
		l.vessel(i)
	}
	for i := range vessels {
		l.life(i)
	}
	return l.write()
}

const largeYears = 12

var largeWoods = []string{"oak", "chestnut", "acacia", "apple wood"}

type large struct {
	lots    *rand.Rand
	today   time.Time
	newID   func(time.Time) string
	journal journal.Journal
	drafts  []journal.Draft
	batch   []cellar.Batch
	codes   []string
	sizes   []float64
	err     error
}

// add puts a fact down at so many days before today.
func (l *large) add(ago int, fact cellar.Fact) {
	body, err := json.Marshal(fact)
	if err != nil && l.err == nil {
		l.err = err
	}
	at := l.today.AddDate(0, 0, -ago)
	l.drafts = append(l.drafts, journal.Draft{ID: l.newID(at), RecordedAt: at, HappenedAt: at, Who: keeper, Kind: fact.Kind(), Body: body})
}

const largePlaces = 40

func (l *large) places() {
	for i := range largePlaces {
		l.add(largeYears*366+2, &cellar.PlaceFact{Place: cellar.Place{Name: largePlace(i)}})
	}
}

func largePlace(i int) string { return fmt.Sprintf("Shed %d, bay %d", i/8+1, i%8+1) }

func (l *large) batches(n int) {
	grains := []string{"apple", "rye", "oat"}
	for i := range n {
		ago := 200 + i*(largeYears*365-200)/n
		b := cellar.Batch{
			Name: fmt.Sprintf("Run %d", n-i), MadeOn: cellar.DayOf(l.today) - cellar.Day(ago),
			Grains: map[string]float64{grains[i%3]: 0.8, grains[(i+1)%3]: 0.2}, StrengthPct: spirit.Strength(62 + i%6),
		}
		l.batch = append(l.batch, b)
		l.add(ago, &cellar.BatchFact{Batch: b})
	}
}

func (l *large) vessel(i int) {
	sizes := map[cellar.VesselKind][]float64{
		cellar.Cask: {30, 50, 110, 200, 225}, cellar.Hybrid: {50, 100}, cellar.Jar: {5, 10, 25}, cellar.Tank: {300, 1000},
	}
	kind := []cellar.VesselKind{cellar.Cask, cellar.Cask, cellar.Cask, cellar.Cask, cellar.Cask, cellar.Cask, cellar.Hybrid, cellar.Jar, cellar.Jar, cellar.Tank}[i%10]
	v := cellar.Vessel{Code: cellar.IssueCode(uint64(i)), Kind: kind, Place: largePlace(l.lots.IntN(largePlaces))}
	size := sizes[kind][l.lots.IntN(len(sizes[kind]))]
	v.CapacityL = spirit.Litres(size)
	if kind.Wooden() {
		v.Wood, v.WoodState = largeWoods[l.lots.IntN(len(largeWoods))], []cellar.WoodState{fresh, used}[l.lots.IntN(2)]
	}
	l.codes, l.sizes = append(l.codes, v.Code), append(l.sizes, size)
	l.add(largeYears*366+1, &cellar.VesselFact{Vessel: v})
}

// life fills a vessel, looks at it now and then and empties a few.
func (l *large) life(i int) {
	b := l.batch[l.lots.IntN(len(l.batch))]
	filled := int(cellar.DayOf(l.today)-b.MadeOn) - 1 - l.lots.IntN(30)
	if i%20 == 19 {
		return
	}
	volume, strength := l.sizes[i]*(0.9+0.09*l.lots.Float64()), float64(b.StrengthPct)
	amount, err := spirit.AmountOf(spirit.Litres(volume), b.StrengthPct)
	if err != nil {
		l.err = err
		return
	}
	l.add(filled, &cellar.Fill{Pour: cellar.Pour{Vessel: l.codes[i], From: cellar.BatchAccount(b.Name), Measure: cellar.Measure{Amount: amount, StrengthPct: b.StrengthPct, Basis: cellar.Measured}}})
	rate := 0.02 * math.Exp(0.25*l.lots.NormFloat64())
	for range l.lots.IntN(4) {
		ago := l.lots.IntN(max(1, filled-60))
		years := float64(filled-ago) / 365.25
		read := spirit.Strength(math.Max(40, strength-0.4*years+0.1*l.lots.NormFloat64()))
		left := spirit.Litres(volume * math.Exp(-rate*years) * (1 + 0.003*l.lots.NormFloat64()))
		kept, err := spirit.AmountOf(left, read)
		if err != nil {
			l.err = err
			return
		}
		l.add(ago, &cellar.Sample{
			Vessel:  l.codes[i],
			Reading: &cellar.Reading{Value: float64(read), Scale: "corrected", StrengthPct: read},
			Content: &cellar.Content{Method: "dip", Read: float64(left), VolumeL: left, NetKg: kept.Mass()},
		})
	}
}

// write appends what was put down, as much at once as a journal takes.
func (l *large) write() error {
	if l.err != nil {
		return l.err
	}
	var head journal.Head
	for len(l.drafts) > 0 {
		n := min(len(l.drafts), journal.MaxDrafts/4)
		written, err := l.journal.Append(head, l.drafts[:n]...)
		if err != nil {
			return err
		}
		head = journal.Head{Seq: written[n-1].Seq, Hash: written[n-1].Hash}
		l.drafts = l.drafts[n:]
	}
	return nil
}
