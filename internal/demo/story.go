package demo

import (
	"fmt"
	"sort"
	"time"

	"example.org/croze/internal/cellar"
)

// Story is all that there is to record, and a few things that are to be found in it.
type Story struct {
	Places  []cellar.Place
	Vessels []cellar.Vessel
	Batches []cellar.BatchFact // by the day on which they were made; left-overs come from earlier batches, never from vessels
	Entries []Told             // in the order in which they are recorded

	Needs     Need       // the bottling wanted next month
	Leaking   string     // code of the cask that leaks
	LeakSince time.Time  // when it began to
	Twins     [][]string // codes of vessels filled on one day from one batch, to be compared

	truth map[string]liquid
}

// Told is one entry as somebody wrote it down.
type Told struct {
	Request    cellar.Request
	Fact       cellar.Fact // where no request states it; then the request has nothing but its day
	RecordedAt time.Time
	Who        string
	VoidOf     int // index in Entries of the earlier one that this takes back, whose ID belongs in Request.Void; -1 for none
}

// Need is a blend that is wanted, and the vessels set aside for it.
type Need struct {
	On          cellar.Day
	VolumeL     float64 // litres at 20 °C
	StrengthPct float64 // % vol
	From        []string
	Note        string
}

// Truth returns what a vessel truly holds on the morning of today: litres at
// 20 °C and % vol. An empty or unknown vessel holds 0 and 0.
func (s *Story) Truth(code string) (litres, strength float64) {
	l := s.truth[code]
	return l.volume(), l.strength()
}

// firstDay is how many days before today the story begins: six years.
const firstDay = 2191

// Tell tells the story that ends on the civil date of today. The same seed and
// date give the same story. An error is a mistake in the tables of this package.
func Tell(seed uint64, today time.Time) (*Story, error) {
	t, err := newTelling(seed, today)
	if err != nil {
		return nil, err
	}
	deeds := t.plot()
	for t.ago = firstDay; t.ago >= 1; t.ago-- {
		t.liveDay(deeds[t.ago])
	}
	if t.err != nil {
		return nil, t.err
	}
	return t.story(), nil
}

// liveDay lets a day pass: the air, the wood, the round of samples, the work.
func (t *telling) liveDay(deeds []deed) {
	t.weather.turn(t.date())
	for _, v := range t.vessels {
		v.rest(t.weather.in(v.place))
	}
	t.minute = startOfRound
	t.round()
	t.minute = max(t.minute, startOfWork)
	for _, do := range deeds {
		do(t)
	}
}

func (t *telling) story() *Story {
	s := &Story{Places: places(), Batches: t.batches, Needs: t.need(), truth: make(map[string]liquid)}
	for _, v := range t.vessels {
		s.Vessels = append(s.Vessels, v.Vessel)
		s.truth[v.Code] = v.in
		if v.leakFrom > 0 {
			s.Leaking, s.LeakSince = v.Code, t.today.AddDate(0, 0, -v.leakFrom)
		}
	}
	for _, keys := range twins {
		var codes []string
		for _, key := range keys {
			codes = append(codes, t.vessel(key).Code)
		}
		s.Twins = append(s.Twins, codes)
	}
	s.Entries = recorded(t.told)
	return s
}

// recorded puts the entries into the order in which they were recorded, and
// lets those that take one back find it there.
func recorded(told []Told) []Told {
	order := make([]int, len(told))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool {
		return told[order[a]].RecordedAt.Before(told[order[b]].RecordedAt)
	})
	place := make(map[int]int, len(told))
	for at, i := range order {
		place[i] = at
	}
	out := make([]Told, 0, len(told))
	for _, i := range order {
		entry := told[i]
		if entry.VoidOf >= 0 {
			entry.VoidOf = place[entry.VoidOf]
		}
		out = append(out, entry)
	}
	return out
}

// fail keeps the first mistake.
func (t *telling) fail(format string, args ...any) {
	if t.err == nil {
		t.err = fmt.Errorf("demo, %d days before today: %w", t.ago, fmt.Errorf(format, args...))
	}
}
