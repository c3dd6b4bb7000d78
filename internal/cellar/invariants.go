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
		if err := checkHolder(a, h); err != nil {
			return err
		}
	}
	sums := make(map[Account]spirit.Amount)
	for _, m := range s.Movements {
		sums[m.From] = sums[m.From].Sub(m.Amount)
		sums[m.To] = sums[m.To].Add(m.Amount)
	}
	for _, a := range s.Accounts() {
		if sums[a] != s.Balance(a) {
			return fmt.Errorf("the movements of %s add up to %v, not to its balance %v", a, sums[a], s.Balance(a))
		}
	}
	return nil
}
