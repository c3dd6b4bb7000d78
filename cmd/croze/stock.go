package main

import (
	"flag"
	"fmt"
	"io"
	"strconv"
	"strings"

	"example.org/croze/internal/book"
	"example.org/croze/internal/exchange"
)

var stockCommand = command{
	name: "stock",
	does: "shows what is in every vessel: volume, strength, pure alcohol, age and loss",
	args: "--data DIR [--on DATE] [--known DATE] [--json | --csv | --xlsx FILE]",
	more: "Figures are the estimator's, with their standard uncertainty. --known asks what was\n" +
		"known on a day: entries written up later are left out.",
	example: "croze stock --data cellar --on 2024-03-31",
	set:     setStock,
}

func setStock(f *flag.FlagSet) func(world, []string) error {
	data := dataFlag(f)
	on := dayFlag(f, "on", "as it was on `DATE`")
	known := dayFlag(f, "known", "as known on `DATE`")
	show := showFlags(f)
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		moment, err := momentOf(on, known)
		if err != nil {
			return err
		}
		return w.seeing(*data, moment, func(v *book.View) error {
			lines := v.Stock()
			return w.show(show, lines, exchange.Stock(lines), func(out io.Writer) error { return printStock(out, lines) })
		})
	}
}

func momentOf(on, known *day) (m book.Moment, err error) {
	if m.On, err = on.orNone("on"); err != nil {
		return m, err
	}
	m.Known, err = known.orNone("known")
	return m, err
}

func printStock(out io.Writer, lines []book.StockLine) error {
	table := &columns{heads: []string{
		"vessel", "kind", "place", ">volume L", ">±", ">strength % vol", ">±", ">pure alcohol L",
		">age d", ">youngest d", ">loss %/y", ">drift % vol/y", "flags",
	}}
	total, pure := 0.0, 0.0
	for _, l := range lines {
		total, pure = total+l.VolumeL, pure+l.PureAlcoholL
		if l.Empty() {
			table.add(l.Vessel, l.Kind, l.Place, "", "", "", "", "", "", "", "", "", strings.Join(l.Flags, ", "))
			continue
		}
		table.add(l.Vessel, l.Kind, l.Place,
			fixed(l.VolumeL, 2), fixed(l.VolumeSDL, 2), fixed(l.StrengthPct, 2), fixed(l.StrengthSD, 2), fixed(l.PureAlcoholL, 2),
			strconv.Itoa(l.AgeDays), strconv.Itoa(l.YoungestDays), fixed(l.LossPctPerYear, 2), fixed(l.DriftPerYear, 2),
			strings.Join(l.Flags, ", "))
	}
	if err := table.write(out); err != nil {
		return err
	}
	_, err := fmt.Fprintf(out, "\n%s, %s L, %s L of pure alcohol (litres at 20 °C, ± is one standard uncertainty)\n",
		plural(len(lines), "vessel", "vessels"), fixed(total, 2), fixed(pure, 2))
	return err
}
