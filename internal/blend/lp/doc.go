// Package lp solves linear programs with few rows and many bounded columns,
// and the mixed-integer ones that come from them when a column is a vessel
// that is either left alone or drawn on.
//
// A Program is
//
//	least  Σ c·x + Σ f·z
//	where  low ≤ Σ a·x + Σ g·z ≤ high   for each row
//	       lower ≤ x ≤ upper            for each column, both finite
//	       z = 1 where x > 0, else 0    for each column with a switch,
//	                                    which may also ask least ≤ x when z = 1
//
// Because every column is boxed, any basis is made dual feasible by setting
// each column outside it to the bound that its reduced cost points at. So the
// dual simplex method needs no first phase, and a branch of the integer search
// starts from its parent's basis. Long steps of the ratio test pass many
// columns at once, which is what makes ten thousand vessels quick.
//
// Switches are not columns of their own. While a switch is undecided, z is
// relaxed to x/upper, the tightest straight line under it, so a tight upper
// bound is a tight bound on the count; no large constant is used anywhere.
//
// Everything is deterministic: the same program gives the same answer.
package lp
