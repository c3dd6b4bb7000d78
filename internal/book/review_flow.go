package book

import (
	"cmp"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// FlowLine is pure alcohol that went from one account to another on its way.
type FlowLine struct {
	From, To     cellar.Account
	PureAlcoholL float64
	First, Last  cellar.Day // of the movements summed here
}

// Flow is the way of some spirit through the store.
type Flow struct {
	Lines []FlowLine
	Ends  []FlowEnd // where it came from or went to, largest first
}

// FlowEnd is what came out of, or ended in, one account.
type FlowEnd struct {
	Account      cellar.Account
	PureAlcoholL float64
}

// leastFlowMg is what is too little to draw: a drop.
const leastFlowMg = 100

// FlowInto follows what an account holds back to the batches it came from. What
// mixed is taken to have left in proportion: of a vessel's alcohol that goes
// into a bottling, each inflow gave the share that it was of the vessel when it
// came, whatever evaporated since.
func (v *View) FlowInto(a cellar.Account) Flow {
	moves := v.State.Movements
	after := balancesAfter(moves)
	wanted := map[cellar.Account]float64{a: float64(v.State.Balance(a).EthanolMg)}
	trail := newTrail()
	for i, m := range slices.Backward(moves) {
		want, amount := wanted[m.To], float64(m.Amount.EthanolMg)
		if want < leastFlowMg || amount <= 0 || after[i] <= 0 {
			continue
		}
		part := min(want, want*amount/after[i])
		wanted[m.To] -= part
		if m.From == cellar.Made {
			trail.end(m.To, part)
			continue
		}
		wanted[m.From] += part
		trail.pass(m, part)
	}
	return trail.flow()
}

// FlowOutOf follows what came into an account to where it is now, or how it left.
func (v *View) FlowOutOf(a cellar.Account) Flow {
	moves := v.State.Movements
	has := make(map[cellar.Account]float64)
	held := make(map[cellar.Account]float64)
	trail := newTrail()
	for _, m := range moves {
		amount := float64(m.Amount.EthanolMg)
		if m.To == a && amount > 0 {
			has[a] += amount // all of it, wherever from
		} else if had := has[m.From]; had > leastFlowMg && amount > 0 && held[m.From] > 0 {
			part := min(had, had*amount/held[m.From])
			has[m.From] -= part
			has[m.To] += part
			trail.pass(m, part)
		}
		held[m.From] -= amount
		held[m.To] += amount
	}
	for account, mg := range has {
		if mg > leastFlowMg {
			trail.end(account, mg)
		}
	}
	return trail.flow()
}

// balancesAfter gives the alcohol in the account that each movement went to,
// right after it, in mg.
func balancesAfter(moves []cellar.Movement) []float64 {
	held := make(map[cellar.Account]float64)
	after := make([]float64, len(moves))
	for i, m := range moves {
		amount := float64(m.Amount.EthanolMg)
		held[m.From] -= amount
		held[m.To] += amount
		after[i] = held[m.To]
	}
	return after
}

// trail sums movements up between the same two accounts.
type trail struct {
	lines map[[2]cellar.Account]*FlowLine
	ends  map[cellar.Account]float64
}

func newTrail() *trail {
	return &trail{make(map[[2]cellar.Account]*FlowLine), make(map[cellar.Account]float64)}
}

func (t *trail) pass(m cellar.Movement, mg float64) {
	key, day := [2]cellar.Account{m.From, m.To}, cellar.DayOf(m.At)
	line := t.lines[key]
	if line == nil {
		line = &FlowLine{From: m.From, To: m.To, First: day, Last: day}
		t.lines[key] = line
	}
	line.PureAlcoholL += litresOfMg(mg)
	line.First, line.Last = min(line.First, day), max(line.Last, day)
}

func (t *trail) end(a cellar.Account, mg float64) { t.ends[a] += litresOfMg(mg) }

func litresOfMg(mg float64) float64 {
	return float64(spirit.Amount{EthanolMg: int64(mg)}.PureAlcohol())
}

func (t *trail) flow() Flow {
	var f Flow
	for _, line := range t.lines {
		f.Lines = append(f.Lines, *line)
	}
	slices.SortFunc(f.Lines, func(a, b FlowLine) int {
		return cmp.Or(cmp.Compare(a.First, b.First), cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
	})
	for a, l := range t.ends {
		f.Ends = append(f.Ends, FlowEnd{a, l})
	}
	slices.SortFunc(f.Ends, func(a, b FlowEnd) int {
		return cmp.Or(cmp.Compare(b.PureAlcoholL, a.PureAlcoholL), cmp.Compare(a.Account, b.Account))
	})
	return f
}
