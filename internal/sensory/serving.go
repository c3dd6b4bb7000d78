package sensory

import "fmt"

// Random is a source of random numbers; *rand.Rand of math/rand/v2 is one.
type Random interface {
	IntN(n int) int // 0 to n-1
}

// Limits of a plan.
const (
	MostTasters = 500
	MostRanked  = 8 // more strong spirits than that nobody ranks well
	LeastRanked = 3
)

// Cup is one sample before a taster.
type Cup struct {
	Code      int  // three digits, all different; 0 for the open reference of a duo-trio
	Sample    int  // 0 for the first sample, 1 for the second …
	Reference bool // the duo-trio's reference: said to be so
}

// Sitting is one taster's cups from left to right.
type Sitting struct {
	Test   Test
	Taster int // from 1
	Cups   []Cup
}

// Plan draws who gets what in which order. Every order comes up equally often,
// give or take one, and which taster gets which is random. samples counts for a
// ranking (3 to 8); the other tests take two.
func Plan(test Test, tasters, samples int, random Random) ([]Sitting, error) {
	orders, err := ordersOf(test, samples)
	switch {
	case err != nil:
		return nil, err
	case tasters < 1 || tasters > MostTasters:
		return nil, fmt.Errorf("tasters: %d: must be 1 to %d", tasters, MostTasters)
	}
	codes := deck{random: random}
	sittings := make([]Sitting, tasters)
	for i, which := range dealt(len(orders), tasters, random) {
		sittings[i] = Sitting{Test: test, Taster: i + 1, Cups: cups(test, orders[which], &codes)}
	}
	return sittings, nil
}

func cups(test Test, order []int, codes *deck) []Cup {
	codes.need(len(order))
	row := make([]Cup, len(order))
	for i, sample := range order {
		if row[i].Sample = sample; test == DuoTrio && i == 0 {
			row[i].Reference = true
			continue
		}
		row[i].Code = codes.next()
	}
	return row
}

// ordersOf lists the serving orders of a test. In a duo-trio the reference
// comes first.
func ordersOf(test Test, samples int) ([][]int, error) {
	if test == Ranking {
		if samples < LeastRanked || samples > MostRanked {
			return nil, fmt.Errorf("samples: %d: rank %d to %d of them", samples, LeastRanked, MostRanked)
		}
		return williams(samples), nil
	}
	if samples != 2 {
		return nil, fmt.Errorf("samples: %d: a %s test takes 2", samples, test)
	}
	switch test {
	case Triangle:
		return [][]int{{0, 0, 1}, {0, 1, 0}, {1, 0, 0}, {1, 1, 0}, {1, 0, 1}, {0, 1, 1}}, nil
	case DuoTrio:
		return [][]int{{0, 0, 1}, {0, 1, 0}, {1, 0, 1}, {1, 1, 0}}, nil
	case PairedMore, PairedEither:
		return [][]int{{0, 1}, {1, 0}}, nil
	}
	return nil, fmt.Errorf("test: %q: is not one of triangle, duo-trio, paired and ranking", test)
}

// williams returns a square of orders (two squares for an odd number) in which
// every sample stands equally often at each place and equally often right after
// each other one (Williams 1949).
func williams(samples int) [][]int {
	first := make([]int, samples) // 0, 1, n-1, 2, n-2 …
	for i := 1; i < samples; i++ {
		first[i] = (i + 1) / 2
		if i%2 == 0 {
			first[i] = samples - i/2
		}
	}
	var orders [][]int
	for shift := range samples {
		order, mirrored := make([]int, samples), make([]int, samples)
		for i, sample := range first {
			order[i] = (sample + shift) % samples
			mirrored[samples-1-i] = order[i]
		}
		if orders = append(orders, order); samples%2 == 1 {
			orders = append(orders, mirrored)
		}
	}
	return orders
}

// dealt gives each of count places one of n orders: all equally often as far as
// it goes, shuffled.
func dealt(n, count int, random Random) []int {
	var places []int
	for len(places) < count {
		round := shuffled(n, random)
		places = append(places, round[:min(n, count-len(places))]...)
	}
	shuffle(places, random)
	return places
}

func shuffled(n int, random Random) []int {
	row := make([]int, n)
	for i := range row {
		row[i] = i
	}
	shuffle(row, random)
	return row
}

func shuffle(row []int, random Random) {
	for i := len(row) - 1; i > 0; i-- {
		j := random.IntN(i + 1)
		row[i], row[j] = row[j], row[i]
	}
}

// deck deals codes of three different digits: nothing like 111 or 007 that
// suggests something. They repeat only when all 648 have been dealt, never in
// one sitting.
type deck struct {
	random Random
	left   []int
}

func (d *deck) need(count int) {
	if len(d.left) >= count {
		return
	}
	d.left = nil
	for code := 100; code < 1000; code++ {
		if a, b, c := code/100, code/10%10, code%10; a != b && b != c && a != c {
			d.left = append(d.left, code)
		}
	}
	shuffle(d.left, d.random)
}

func (d *deck) next() int {
	code := d.left[len(d.left)-1]
	d.left = d.left[:len(d.left)-1]
	return code
}

// Right says whether naming the cup of a code is the right answer: the odd one
// of a triangle, the one like the reference of a duo-trio. In a paired test the
// right one is the second sample, sample 1: put what should have more there.
func (s Sitting) Right(code int) (bool, error) {
	named, found := Cup{}, false
	alike := 0 // cups with the same spirit as the named one, itself included
	for _, cup := range s.Cups {
		if cup.Code == code && !cup.Reference {
			named, found = cup, true
		}
	}
	if !found {
		return false, fmt.Errorf("answer: %d: taster %d has no cup of that code", code, s.Taster)
	}
	for _, cup := range s.Cups {
		if cup.Sample == named.Sample {
			alike++
		}
	}
	switch s.Test {
	case Triangle:
		return alike == 1, nil
	case DuoTrio:
		return alike == 2, nil
	case PairedMore, PairedEither:
		return named.Sample == 1, nil
	}
	return false, fmt.Errorf("answer: %d: a %s has no right answer", code, s.Test)
}
