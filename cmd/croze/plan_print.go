package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"example.org/croze/internal/blend"
)

func printPlan(out io.Writer, r blend.Result) error {
	if r.Status == blend.StatusInfeasible {
		return printClash(out, r)
	}
	makings := r.Targets
	if len(makings) == 0 {
		makings = []blend.Making{{Draws: r.Draws, WaterL: r.WaterL, WaterKg: r.WaterKg, Made: *r.Made}}
	}
	for _, m := range makings {
		if err := printMaking(out, m); err != nil {
			return err
		}
	}
	if err := printPortions(out, r.Portions); err != nil {
		return err
	}
	for _, l := range r.LeftOut {
		fmt.Fprintf(out, "Left out: %s: %s.\n", l.ID, l.Why)
	}
	if c := r.Chance; c != nil {
		fmt.Fprintf(out, "The stock being uncertain, the chance of making it is %s %%.\n", fixed(100*c.MakesVolume, 0))
	}
	if r.Status == blend.StatusUnproven {
		fmt.Fprintln(out, "It works, but it was not proven to be the best.")
	}
	_, err := fmt.Fprintln(out, "A plan is advice: gauge before you bottle.")
	return err
}

func printMaking(out io.Writer, m blend.Making) error {
	if m.Name != "" {
		fmt.Fprintf(out, "%s\n", m.Name)
	}
	table := &columns{heads: []string{"take from", ">L at 20 °C", ">kg", ">weighed kg"}}
	for _, d := range m.Draws {
		table.add(d.ID, fixed(d.VolumeL, 3), fixed(d.MassKg, 3), fixed(d.WeighsKg, 3))
	}
	if m.WaterL > 0 {
		table.add("water", fixed(m.WaterL, 3), fixed(m.WaterKg, 3), "")
	}
	if err := table.write(out); err != nil {
		return err
	}
	fmt.Fprintf(out, "\nIt makes %s L of %s %% vol, %s L of pure alcohol", fixed(m.Made.VolumeL, 3), fixed(m.Made.StrengthPct, 2), fixed(m.Made.PureAlcoholL, 3))
	if y := m.Made.YoungestDays; y != nil {
		fmt.Fprintf(out, "; the youngest part is %s days old", fixed(*y, 0))
	}
	fmt.Fprintln(out, ".")
	printShares(out, m.Made.Shares)
	return nil
}

// printShares says what the pure alcohol is made of, largest share first.
func printShares(out io.Writer, shares map[string]float64) {
	if len(shares) == 0 {
		return
	}
	names := slices.SortedFunc(maps.Keys(shares), func(a, b string) int {
		if shares[a] != shares[b] {
			if shares[a] > shares[b] {
				return -1
			}
			return 1
		}
		return strings.Compare(a, b)
	})
	words := make([]string, len(names))
	for i, name := range names {
		words[i] = name + " " + fixed(100*shares[name], 1) + " %"
	}
	fmt.Fprintf(out, "By pure alcohol: %s.\n", strings.Join(words, "; "))
}

func printPortions(out io.Writer, portions []blend.Portion) error {
	if len(portions) < 2 {
		return nil
	}
	table := &columns{heads: []string{">portion", ">spirit L", ">water L", ">water kg", ">weighed kg", ">makes L"}}
	for i, p := range portions {
		table.add(fixed(float64(i+1), 0), fixed(p.SpiritL, 3), fixed(p.WaterL, 3), fixed(p.WaterKg, 3), fixed(p.WeighsKg, 3), fixed(p.VolumeL, 3))
	}
	fmt.Fprintln(out)
	return table.write(out)
}

// printClash says why there is no plan, and what could be made instead.
func printClash(out io.Writer, r blend.Result) error {
	fmt.Fprintln(out, "There is no such plan.")
	if len(r.Clash) > 0 {
		fmt.Fprintln(out, "These wishes clash:")
	}
	for _, clash := range r.Clash {
		fmt.Fprintf(out, "  %s\n", clash)
	}
	if r.Because != "" {
		fmt.Fprintf(out, "Because %s.\n", strings.TrimSuffix(r.Because, "."))
	}
	if n := r.Nearest; n != nil {
		printNearest(out, *n)
	}
	if reach := r.Reachable; reach != nil {
		printReach(out, "At the strength wanted the volume can be", reach.VolumeLoL, reach.VolumeHiL, "L")
		printReach(out, "At the volume wanted the strength can be", reach.StrengthLoPct, reach.StrengthHiPct, "% vol")
	}
	return nil
}

func printNearest(out io.Writer, n blend.Nearest) {
	if n.VolumeL != nil {
		fmt.Fprintf(out, "Nearest that works: %s L of the strength wanted.\n", fixed(*n.VolumeL, 3))
	}
	if n.StrengthPct != nil {
		fmt.Fprintf(out, "Nearest that works: the volume wanted, of %s %% vol.\n", fixed(*n.StrengthPct, 2))
	}
	for _, c := range n.Changes {
		if strings.HasPrefix(c.Path, "target.") {
			continue // said above
		}
		fmt.Fprintf(out, "Enough by itself: %s\n", changeText(c))
	}
	for _, c := range n.Together {
		fmt.Fprintf(out, "Enough together: %s\n", changeText(c))
	}
}

func changeText(c blend.Change) string {
	if c.To == nil {
		return c.Path + ": drop it (" + c.Wish + ")"
	}
	return c.Path + ": " + short(*c.To) + " (" + c.Wish + ")"
}

func printReach(out io.Writer, what string, low, high *float64, unit string) {
	if low != nil && high != nil {
		fmt.Fprintf(out, "%s %s to %s %s.\n", what, fixed(*low, 2), fixed(*high, 2), unit)
	}
}
