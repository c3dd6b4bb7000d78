package demo

import (
	"math/rand/v2"
	"time"

	"example.org/croze/internal/cellar"
)

// The people of the house, by their work.
const (
	keeper     = "keeper"
	apprentice = "apprentice"
	distiller  = "distiller"
	owner      = "owner"
)

// Minutes of the day at which things begin.
const (
	startOfRound = 8*60 + 40
	startOfWork  = 13*60 + 10
	minutesApart = 7
)

const minute = time.Minute

// telling is a story while it is told.
type telling struct {
	today   time.Time // midnight that began it
	ago     int       // the day being told, in days before today
	minute  int       // of that day
	lots    *rand.Rand
	bench   bench
	weather *weather
	vessels []*vessel
	byKey   map[string]*vessel
	batches []cellar.BatchFact
	stood   map[string]int // vessels by place, as they were set up
	rounds  map[string]int // days before today of the next round, by place
	told    []Told
	err     error
}

// newTelling sets the house up. Weather, instruments and habits draw from lots
// of their own, so that one does not disturb another.
func newTelling(seed uint64, today time.Time) (*telling, error) {
	year, month, day := today.Date()
	t := &telling{
		today:   time.Date(year, month, day, 0, 0, 0, 0, time.UTC),
		lots:    rand.New(rand.NewPCG(seed, 1)),
		bench:   bench{rand.New(rand.NewPCG(seed, 2))},
		weather: newWeather(rand.New(rand.NewPCG(seed, 3))),
		byKey:   make(map[string]*vessel),
		stood:   make(map[string]int),
		rounds:  make(map[string]int),
	}
	for i, r := range rooms {
		t.rounds[r.name] = firstDay - 4 - 6*i
	}
	for _, p := range places() {
		if err := cellar.CheckPlace(p); err != nil {
			return nil, err
		}
	}
	if err := t.house(); err != nil {
		return nil, err
	}
	return t, t.distil()
}

// daysAgo is the midnight that began a day.
func (t *telling) daysAgo(days int) time.Time { return t.today.AddDate(0, 0, -days) }

func (t *telling) date() time.Time { return t.daysAgo(t.ago) }

// now is the time that a clock in the still room shows, which is UTC all year.
func (t *telling) now() time.Time { return t.date().Add(time.Duration(t.minute) * time.Minute) }

// vessel finds a vessel by the name that the tables give it.
func (t *telling) vessel(key string) *vessel {
	v, ok := t.byKey[key]
	if !ok {
		t.fail("the tables have no vessel %q", key)
		return new(vessel)
	}
	return v
}

// tell writes an entry down a few minutes after it happened, and lets the
// clock go on. It returns the entry's index.
func (t *telling) tell(r cellar.Request, who string) int {
	r.When = t.now()
	t.minute += minutesApart
	return t.write(Told{Request: r, RecordedAt: r.When.Add(4 * time.Minute), Who: who, VoidOf: -1})
}

func (t *telling) write(entry Told) int {
	t.told = append(t.told, entry)
	return len(t.told) - 1
}

// receive puts liquid in.
func (v *vessel) receive(more liquid) { v.in = v.in.plus(more) }

// give takes a volume out, litres at 20 °C, and returns it.
func (t *telling) give(v *vessel, litres float64) liquid {
	if !(litres > 0 && litres < v.in.volume()) {
		t.fail("%s cannot give %.2f L of %.2f L", v.key, litres, v.in.volume())
		return liquid{}
	}
	out := v.in.part(litres)
	v.in = v.in.less(out)
	return out
}

// drain takes all out but what clings to the vessel, and that is lost too.
func (t *telling) drain(v *vessel) liquid {
	all := v.in
	v.in = liquid{}
	v.soaked = v.soakMost
	clings := min(0.2, 0.004*float64(v.CapacityL))
	return all.less(all.part(clings))
}
