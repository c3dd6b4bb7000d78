package book

import (
	"slices"
	"strconv"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// AccountChange is what an entry changed in the balance of an account, of all
// that was known when it was written down.
type AccountChange struct {
	Account       cellar.Account
	Before, After spirit.Amount
}

// Difference is after less before.
func (c AccountChange) Difference() spirit.Amount { return c.After.Sub(c.Before) }

// Rewrites says whether an entry changed what was thought of the past: it takes
// another back, or it happened before something that was known already.
func (v *View) Rewrites(e cellar.Entry) bool {
	switch e.Fact.(type) {
	case *cellar.Void:
		return true
	case *cellar.VesselFact, *cellar.BatchFact, *cellar.PlaceFact:
		return false
	}
	return slices.ContainsFunc(v.before(e), func(known cellar.Entry) bool {
		return known.HappenedAt.After(e.HappenedAt)
	})
}

// before is what was known when an entry was written down.
func (v *View) before(e cellar.Entry) []cellar.Entry {
	i, found := slices.BinarySearchFunc(v.Entries, e.Seq, func(x cellar.Entry, seq uint64) int { return int(x.Seq) - int(seq) })
	if !found {
		return nil
	}
	return v.Entries[:i]
}

// WhatItChanged folds what was known without an entry and with it, and lists
// the accounts that differ, sorted.
func (v *View) WhatItChanged(e cellar.Entry) ([]AccountChange, error) {
	known := v.before(e)
	without, err := cellar.Fold(known, time.Time{})
	if err != nil {
		return nil, err
	}
	with, err := cellar.Fold(append(slices.Clip(known), e), time.Time{})
	if err != nil {
		return nil, err
	}
	accounts := slices.Concat(without.Accounts(), with.Accounts())
	slices.Sort(accounts)
	var changes []AccountChange
	for _, a := range slices.Compact(accounts) {
		if c := (AccountChange{a, without.Balance(a), with.Balance(a)}); c.Before != c.After {
			changes = append(changes, c)
		}
	}
	return changes, nil
}

func number(seq uint64) string { return strconv.FormatUint(seq, 10) }
