package cellar

import (
	"cmp"
	"math/bits"
	"slices"
	"strings"

	"example.org/croze/internal/spirit"
)

// WoodTime is days spent in one wood.
type WoodTime struct {
	Wood string `json:"wood"`
	Days int    `json:"days"`
}

// Part is the ethanol of one batch with one history of wood.
type Part struct {
	Batch     string     `json:"batch"`
	FirstWood Day        `json:"first_wood,omitempty"` // 0: has not met wood
	Wood      []WoodTime `json:"wood,omitempty"`       // sorted by name
	EthanolMg int64      `json:"ethanol_mg"`
}

// WoodDays returns the days in any wood.
func (p Part) WoodDays() int {
	days := 0
	for _, w := range p.Wood {
		days += w.Days
	}
	return days
}

// sameStory says whether two parts differ in nothing but quantity.
func (p Part) sameStory(o Part) bool {
	return p.Batch == o.Batch && p.FirstWood == o.FirstWood && slices.Equal(p.Wood, o.Wood)
}

// compareStory orders parts by batch, then older first, then by wood.
func compareStory(a, b Part) int {
	if c := strings.Compare(a.Batch, b.Batch); c != 0 {
		return c
	}
	if a.FirstWood != b.FirstWood {
		return int(a.FirstWood - b.FirstWood)
	}
	return slices.CompareFunc(a.Wood, b.Wood, func(x, y WoodTime) int {
		if c := strings.Compare(x.Wood, y.Wood); c != 0 {
			return c
		}
		return x.Days - y.Days
	})
}

// aged returns the parts after `days` more in a wood, beginning on `from`.
// The slices given are left alone.
func aged(parts []Part, wood string, from, to Day) []Part {
	out := slices.Clone(parts)
	times := 0
	for i := range out {
		if out[i].FirstWood == 0 {
			out[i].FirstWood = from
		}
		times += len(out[i].Wood) + 1
	}
	if to <= from {
		return out
	}
	room := make([]WoodTime, 0, times) // of all parts: the fold ages parts more than it does anything else
	for i := range out {
		start := len(room)
		room = withDays(room, out[i].Wood, wood, int(to-from))
		out[i].Wood = room[start:len(room):len(room)]
	}
	return out
}

// unaged returns the parts as distilling leaves them: of the same batches, and
// without a day in wood.
func unaged(parts []Part) []Part {
	out := slices.Clone(parts)
	for i := range out {
		out[i].FirstWood, out[i].Wood = 0, nil
	}
	return out
}

// withDays appends the times to room, with so many more days in a wood, sorted by name.
func withDays(room, times []WoodTime, wood string, days int) []WoodTime {
	i, known := slices.BinarySearchFunc(times, wood, func(w WoodTime, name string) int { return strings.Compare(w.Wood, name) })
	room = append(room, times[:i]...)
	rest := times[i:]
	if known {
		days += rest[0].Days
		rest = rest[1:]
	}
	room = append(room, WoodTime{wood, days})
	return append(room, rest...)
}

// joined returns both lists as one, sorted, with like parts summed and no more
// than MostParts.
func joined(a, b []Part) []Part {
	all := slices.Concat(a, b)
	slices.SortStableFunc(all, compareStory)
	out := all[:0:len(all)]
	for _, p := range all {
		if n := len(out); n > 0 && out[n-1].sameStory(p) {
			out[n-1].EthanolMg += p.EthanolMg
			continue
		}
		if p.EthanolMg != 0 {
			out = append(out, p)
		}
	}
	for len(out) > MostParts {
		shorter, ok := joinSmallest(out)
		if !ok {
			break
		}
		out = shorter
	}
	return out
}

// joinSmallest joins the smallest part that has a neighbour of the same batch
// into that neighbour. The joint part takes the younger age of the two, so that
// an age statement can only err on the modest side.
func joinSmallest(parts []Part) ([]Part, bool) {
	best := -1
	for i := 1; i < len(parts); i++ {
		if parts[i].Batch != parts[i-1].Batch {
			continue
		}
		if best < 0 || min(parts[i].EthanolMg, parts[i-1].EthanolMg) < min(parts[best].EthanolMg, parts[best-1].EthanolMg) {
			best = i
		}
	}
	if best < 0 {
		return parts, false
	}
	a, b := parts[best-1], parts[best]
	younger := b
	if a.WoodDays() < b.WoodDays() {
		younger = a
	}
	younger.FirstWood = max(a.FirstWood, b.FirstWood)
	if a.FirstWood == 0 || b.FirstWood == 0 {
		younger.FirstWood = 0 // has not met wood: younger than any date
	}
	younger.EthanolMg = a.EthanolMg + b.EthanolMg
	out := slices.Clone(parts)
	out[best-1] = younger
	return slices.Delete(out, best, best+1), true
}

// shareOut divides `total` milligrams over the parts in proportion to their
// ethanol, exactly: largest remainders get the odd milligrams, earlier parts
// first among equals. The parts must hold some ethanol; total is not negative.
func shareOut(parts []Part, total int64) []Part {
	out := slices.Clone(parts)
	if len(out) == 1 {
		out[0].EthanolMg = total
		return out
	}
	whole, left := uint64(sumParts(parts)), total
	remainders := make([]remainder, len(parts))
	for i, p := range parts {
		high, low := bits.Mul64(uint64(p.EthanolMg), uint64(total))
		quotient, rest := bits.Div64(high, low, whole)
		out[i].EthanolMg, remainders[i] = int64(quotient), remainder{i, rest}
		left -= int64(quotient)
	}
	slices.SortStableFunc(remainders, func(a, b remainder) int { return cmp.Compare(b.rest, a.rest) })
	for _, r := range remainders[:left] {
		out[r.part].EthanolMg++
	}
	return out
}

// remainder is what is left of a part's share below a milligram.
type remainder struct {
	part int
	rest uint64
}

func sumParts(parts []Part) int64 {
	var sum int64
	for _, p := range parts {
		sum += p.EthanolMg
	}
	return sum
}

// Contents is what a holder holds, as the books have it.
type Contents struct {
	Amount spirit.Amount `json:"amount"`
	Parts  []Part        `json:"parts,omitempty"`
}

// regauged returns the contents with another amount and the same make-up, and
// what the difference was made of: below nothing for what was found in excess.
func (c Contents) regauged(to spirit.Amount) (left Contents, lost []Part) {
	if c.Amount.EthanolMg == to.EthanolMg || len(c.Parts) == 0 {
		return Contents{to, c.Parts}, nil
	}
	shared, lost := shareOut(c.Parts, to.EthanolMg), slices.Clone(c.Parts)
	for i := range lost {
		lost[i].EthanolMg -= shared[i].EthanolMg
	}
	return Contents{to, nonEmpty(shared)}, nonEmpty(lost)
}

// without returns what is left after an amount is taken, and what was taken.
// The amount must not exceed the contents.
func (c Contents) without(taken spirit.Amount) (left, out Contents) {
	left.Amount, out.Amount = c.Amount.Sub(taken), taken
	if sumParts(c.Parts) == 0 {
		return left, out
	}
	out.Parts = shareOut(c.Parts, taken.EthanolMg)
	left.Parts = slices.Clone(c.Parts)
	for i := range left.Parts {
		left.Parts[i].EthanolMg -= out.Parts[i].EthanolMg
	}
	left.Parts, out.Parts = nonEmpty(left.Parts), nonEmpty(out.Parts)
	return left, out
}

func nonEmpty(parts []Part) []Part {
	return slices.DeleteFunc(parts, func(p Part) bool { return p.EthanolMg == 0 })
}

// with returns the contents after more is put in.
func (c Contents) with(more Contents) Contents {
	return Contents{c.Amount.Add(more.Amount), joined(c.Parts, more.Parts)}
}
