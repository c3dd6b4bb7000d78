package cellar

import (
	"maps"
	"math"
	"math/big"
	"slices"

	"example.org/croze/internal/spirit"
)

// naive is the book as simply as it can be written: it goes through everything
// from the beginning each time, with big integers for the masses and plain
// floats for the parts, and never refuses. Evaporation, handling and the
// unexplained are one account here, and what soaked into the wood and out of it
// it is told: how a loss is told apart has its own tests.
type naive struct {
	held    map[Account]*[2]big.Int // ethanol, water
	parts   map[Account][]naivePart
	slack   map[Account]float64 // milligrams that rounding can have moved between the parts
	counted map[Account]Day
	vessels map[string]Vessel
	place   map[string]string
	batches map[string]*BatchFact
	posted  map[string]bool
	lots    map[string]int
	day     Day
	live    *State // asked what soaked into wood and out of it
	seq     uint64
	most    int // the most parts that anything had
}

type naivePart struct {
	batch string
	first Day
	wood  map[string]int
	mg    float64
}

const lost Account = "lost"

// naiveStands says whether entry i stands: nothing that stands takes it back.
func naiveStands(entries []Entry, i int) bool {
	for j := i + 1; j < len(entries); j++ {
		if v, ok := entries[j].Fact.(*Void); ok && v.Entry == entries[i].ID && naiveStands(entries, j) {
			return false
		}
	}
	return true
}

func runNaive(entries []Entry, live *State) *naive {
	n := &naive{
		held: map[Account]*[2]big.Int{}, parts: map[Account][]naivePart{}, slack: map[Account]float64{}, counted: map[Account]Day{},
		vessels: map[string]Vessel{}, place: map[string]string{}, batches: map[string]*BatchFact{},
		posted: map[string]bool{}, lots: map[string]int{}, live: live,
	}
	var standing []Entry
	for i, e := range entries {
		if !naiveStands(entries, i) {
			continue
		}
		at := len(standing)
		for at > 0 && standing[at-1].HappenedAt.After(e.HappenedAt) {
			at--
		}
		standing = slices.Insert(standing, at, e)
		switch f := e.Fact.(type) {
		case *VesselFact:
			n.vessels[f.Code] = f.Vessel
			n.place[f.Code] = f.Place
		case *BatchFact:
			n.batches[f.Name] = f
		}
	}
	for _, e := range standing {
		n.day, n.seq = e.Day(), e.Seq
		n.apply(e.Fact)
	}
	return n
}

func (n *naive) apply(f Fact) {
	switch f := f.(type) {
	case *BatchFact:
		if f.MadeOn != 0 {
			n.post(f.Name)
		}
	case *Fill:
		n.dry(f.Vessel)
		n.pour(f.From, f.Vessel, f.Measure, f.Empties)
	case *TopUp:
		n.pour(f.From, f.Vessel, f.Measure, f.Empties)
	case *Transfer:
		n.pour(f.From, f.Vessel, f.Measure, f.Empties)
	case *Sample:
		if f.Content != nil && f.Reading != nil {
			found, _ := spirit.AmountOf(f.Content.VolumeL, f.Reading.StrengthPct)
			n.gauge(f.Vessel, found)
		}
		if f.Taken != nil {
			n.take(VesselAccount(f.Vessel), Samples, f.Taken.Amount)
		}
	case *Draw:
		n.take(VesselAccount(f.Vessel), Drawn, f.Measure.Amount)
	case *Spill:
		n.take(VesselAccount(f.Vessel), Spilled, f.Measure.Amount)
	case *Reduce:
		n.move(WaterIn, VesselAccount(f.Vessel), f.Water)
	case *Rinse:
		n.rinse(f)
	case *Blend:
		n.dry(f.Into)
		for _, d := range f.Draws {
			n.pour(d.From, f.Into, d.Measure, d.Empties)
		}
		n.move(WaterIn, VesselAccount(f.Into), f.Water)
	case *Bottle:
		n.take(VesselAccount(f.Vessel), LotAccount(f.Lot), f.Measure.Amount)
		n.lots[f.Lot]++
		if f.Empties {
			n.gauge(f.Vessel, spirit.Amount{})
		}
	case *Empty:
		if f.Measure != nil {
			n.take(VesselAccount(f.Vessel), Drawn, f.Measure.Amount)
		}
		n.gauge(f.Vessel, spirit.Amount{})
	case *Move:
		n.place[f.Vessel] = f.Place
	}
}

func (n *naive) pour(from Account, into string, m Measure, empties bool) {
	n.take(from, VesselAccount(into), m.Amount)
	n.leave(from, empties)
}

func (n *naive) leave(from Account, empties bool) {
	code, isVessel := from.Vessel()
	switch {
	case empties && isVessel:
		n.gauge(code, spirit.Amount{})
	case empties:
		n.move(from, lost, n.amount(from))
	}
}

// take moves an amount after making good what the source is short of.
func (n *naive) take(from, to Account, a spirit.Amount) {
	name, isBatch := from.Batch()
	if isBatch {
		n.post(name)
	}
	has := n.amount(from)
	short := spirit.Amount{EthanolMg: max(0, a.EthanolMg-has.EthanolMg), WaterMg: max(0, a.WaterMg-has.WaterMg)}
	b := n.batches[name]
	switch open := b == nil || b.Made.IsZero(); {
	case !isBatch:
		code, _ := from.Vessel()
		n.gauge(code, has.Add(short))
	case open:
		n.move(Made, from, short)
	default:
		n.move(Made, from, spirit.Amount{EthanolMg: short.EthanolMg})
		n.move(WaterIn, from, spirit.Amount{WaterMg: short.WaterMg})
	}
	n.move(from, to, a)
}

func (n *naive) post(name string) {
	b := n.batches[name]
	if b == nil || n.posted[name] {
		return
	}
	n.posted[name] = true
	fresh := b.Made
	for _, c := range b.CarriedIn {
		n.take(c.From, BatchAccount(name), c.Amount)
		n.leave(c.From, c.Empties)
		fresh = fresh.Sub(c.Amount)
	}
	if !b.Made.IsZero() {
		n.move(Made, BatchAccount(name), fresh)
	}
}

func (n *naive) amount(a Account) spirit.Amount {
	h := n.of(a)
	return spirit.Amount{EthanolMg: h[0].Int64(), WaterMg: h[1].Int64()}
}

func (n *naive) of(a Account) *[2]big.Int {
	if n.held[a] == nil {
		n.held[a] = new([2]big.Int)
	}
	return n.held[a]
}

func (n *naive) add(a Account, amount spirit.Amount) {
	h := n.of(a)
	h[0].Add(&h[0], big.NewInt(amount.EthanolMg))
	h[1].Add(&h[1], big.NewInt(amount.WaterMg))
}

// gauge sets what a vessel holds; the parts grow or shrink alike.
func (n *naive) gauge(code string, found spirit.Amount) {
	a := VesselAccount(code)
	had := n.amount(a)
	n.settle(a)
	if found.EthanolMg != had.EthanolMg { // finding much more makes much of what was rounded
		n.slack[a] = n.slack[a]*math.Max(1, ratio(found.EthanolMg, had.EthanolMg)) + 1
	}
	wood, soaked := IndrinkAccount(code), n.told(a, IndrinkAccount(code))
	if gone := had.Sub(found); gone.EthanolMg < soaked.EthanolMg || gone.WaterMg < soaked.WaterMg {
		soaked = spirit.Amount{} // it is of another gauge of this entry: the emptying that comes after
	}
	n.parts[wood] = append(n.parts[wood], scaled(n.parts[a], soaked.EthanolMg, had.EthanolMg)...)
	n.slack[wood] += n.slack[a] + 1
	n.parts[a] = scaled(n.parts[a], found.EthanolMg, had.EthanolMg)
	n.add(a, found.Sub(had))
	n.add(wood, soaked)
	n.add(lost, had.Sub(found).Sub(soaked))
}

// told is what the entry moved between an account and the wood, as the state has it.
func (n *naive) told(from, to Account) (sum spirit.Amount) {
	for _, m := range n.live.Movements {
		if m.Seq == n.seq && m.From == from && m.To == to {
			sum = sum.Add(m.Amount)
		}
	}
	return sum
}

// dry lets go what dried out of the wood before a fill.
func (n *naive) dry(code string) {
	wood := IndrinkAccount(code)
	if dried := n.told(wood, Angels); !dried.IsZero() {
		n.move(wood, lost, dried)
	}
}

func (n *naive) rinse(f *Rinse) {
	if code, ok := f.Into.Vessel(); ok {
		n.dry(code)
	}
	wood := IndrinkAccount(f.Vessel)
	if back := n.told(wood, Angels); !back.IsZero() {
		had := n.amount(wood)
		n.slack[wood] = n.slack[wood]*ratio(had.Sub(back).EthanolMg, had.EthanolMg) + 1
		n.parts[wood] = scaled(n.parts[wood], had.Sub(back).EthanolMg, had.EthanolMg)
		n.add(wood, back.Neg())
		n.add(lost, back)
	}
	soaked := spirit.Amount{EthanolMg: f.Measure.Amount.EthanolMg, WaterMg: n.told(wood, f.Into).WaterMg}
	n.move(wood, f.Into, soaked)
	n.move(WaterIn, f.Into, f.Measure.Amount.Sub(soaked))
}

func (n *naive) move(from, to Account, a spirit.Amount) {
	n.settle(from)
	n.settle(to)
	moved := scaled(n.parts[from], a.EthanolMg, n.amount(from).EthanolMg)
	n.slack[to] += n.slack[from] + 1
	n.slack[from]++
	n.parts[from] = scaled(n.parts[from], n.amount(from).EthanolMg-a.EthanolMg, n.amount(from).EthanolMg)
	if name, ok := to.Batch(); ok && from == Made {
		moved = []naivePart{{batch: name, wood: map[string]int{}, mg: float64(a.EthanolMg)}}
	}
	for i := range moved {
		if _, ok := to.Batch(); ok { // through the still
			moved[i].first, moved[i].wood = 0, map[string]int{}
		}
		if n.wood(to) != "" && moved[i].first == 0 {
			moved[i].first = n.day
		}
	}
	if to.holds() {
		n.parts[to] = append(n.parts[to], moved...)
	}
	n.most = max(n.most, len(n.parts[to]))
	n.add(from, a.Neg())
	n.add(to, a)
}

func scaled(parts []naivePart, to, from int64) []naivePart {
	var out []naivePart
	for _, p := range parts {
		p.mg *= ratio(to, from)
		p.wood = maps.Clone(p.wood)
		out = append(out, p)
	}
	return out
}

func ratio(to, from int64) float64 { return float64(to) / float64(max(1, from)) }

func (n *naive) wood(a Account) string {
	code, _ := a.Vessel()
	return n.vessels[code].WoodLabel()
}

// settle counts the days in wood up to today.
func (n *naive) settle(a Account) {
	days := int(n.day - n.counted[a])
	if len(n.parts[a]) == 0 || n.amount(a).EthanolMg == 0 {
		n.parts[a], n.slack[a], days, n.counted[a] = nil, 0, 0, n.day
	}
	if wood := n.wood(a); wood != "" && days > 0 {
		for i := range n.parts[a] {
			n.parts[a][i].wood[wood] += days
		}
	}
	n.counted[a] = max(n.counted[a], n.day)
}

// stories sums the parts of an account by everything but their quantity.
func (n *naive) stories(a Account) map[string]float64 {
	sums := make(map[string]float64)
	for _, p := range n.parts[a] {
		sums[storyOf(p.batch, p.first, p.wood)] += p.mg
	}
	return sums
}
