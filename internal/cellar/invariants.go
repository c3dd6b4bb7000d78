package cellar

import (
	"fmt"

	"example.org/croze/internal/spirit"
)

// check holds a change to the invariants before it is committed: no holder
// below nothing, and parts that add up to the ethanol.
func (c *change) check() error {
	for a, h := range c.holders {
		if err := checkHolder(a, h); err != nil {
			return err
		}
	}
	return nil
}

func checkHolder(a Account, h holder) error {
	if h.Amount.IsNegative() {
		return refused("", nil, "%s would hold %v, less than nothing", a, h.Amount)
	}
	if sum := sumParts(h.Parts); sum != h.Amount.EthanolMg {
		return refused("", nil, "the parts of %s add up to %d mg of ethanol, not to %d mg", a, sum, h.Amount.EthanolMg)
	}
	return nil
}

// Check holds the whole state to the invariants: over all accounts ethanol and
// water each sum to zero, the movements add up to the balances, no holder is
// below nothing, and parts add up.
func (s *State) Check() error {
	var total spirit.Amount
	for _, a := range s.Accounts() {
		total = total.Add(s.Balance(a))
	}
	if !total.IsZero() {
		return fmt.Errorf("the accounts do not balance: %d mg of ethanol and %d mg of water are left over", total.EthanolMg, total.WaterMg)
	}
	for a, h := range s.holders {
		if err := checkHolder(a, *h); err != nil {
			return err
		}
	}
	return s.checkMovements()
}

// checkMovements holds the movements to the balances, and the ethanol of every
// batch to what was moved of it: no spirit changes its origin on the way.
func (s *State) checkMovements() error {
	type origin struct {
		account Account
		batch   string
	}
	sums, origins := make(map[Account]spirit.Amount), make(map[origin]int64)
	for _, m := range s.Movements {
		sums[m.From] = sums[m.From].Sub(m.Amount)
		sums[m.To] = sums[m.To].Add(m.Amount)
		if sum := sumParts(m.Parts); sum != m.Amount.EthanolMg {
			return fmt.Errorf("the parts of a movement from %s to %s by entry %d add up to %d mg of ethanol, not to %d mg", m.From, m.To, m.Seq, sum, m.Amount.EthanolMg)
		}
		for _, p := range m.Parts {
			origins[origin{m.From, p.Batch}] -= p.EthanolMg
			origins[origin{m.To, p.Batch}] += p.EthanolMg
		}
	}
	for _, a := range s.Accounts() {
		if sums[a] != s.Balance(a) {
			return fmt.Errorf("the movements of %s add up to %v, not to its balance %v", a, sums[a], s.Balance(a))
		}
		for _, p := range s.held(a).Parts {
			origins[origin{a, p.Batch}] -= p.EthanolMg
		}
	}
	for o, left := range origins {
		if o.account.holds() && left != 0 {
			return fmt.Errorf("of batch %s, %d mg of ethanol moved to %s are not among its parts", o.batch, left, o.account)
		}
	}
	return nil
}
