package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
)

var forecastCommand = command{
	name:    "forecast",
	does:    "shows what every vessel holds on a date, past or future, if nothing more is done",
	args:    "--data DIR --at DATE [--json | --csv | --xlsx FILE]",
	more:    "lo and hi bound the central 90 %.",
	example: "croze forecast --data cellar --at 2027-01-01",
	set:     setForecast,
}

func setForecast(f *flag.FlagSet) func(world, []string) error {
	data := dataFlag(f)
	at := dayFlag(f, "at", "`DATE`, past or future")
	show := showFlags(f)
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		if !at.given {
			return errors.New("--at: is missing: say for which date, as 2027-01-01")
		}
		return w.seeing(*data, book.Moment{}, func(v *book.View) error {
			lines := v.Forecast(at.value)
			return w.show(show, lines, exchange.Forecast(lines), func(out io.Writer) error {
				return printForecast(out, lines, at.value)
			})
		})
	}
}

func printForecast(out io.Writer, lines []book.ForecastLine, at cellar.Day) error {
	table := &columns{heads: []string{
		"vessel", ">volume L", ">±", ">lo", ">hi", ">strength % vol", ">±", ">lo", ">hi", ">pure alcohol L", "flags",
	}}
	for _, l := range lines {
		table.add(l.Vessel,
			fixed(l.VolumeL, 2), fixed(l.VolumeSDL, 2), fixed(l.VolumeLoL, 2), fixed(l.VolumeHiL, 2),
			fixed(l.StrengthPct, 2), fixed(l.StrengthSD, 2), fixed(l.StrengthLoPct, 2), fixed(l.StrengthHiPct, 2),
			fixed(l.PureAlcoholL, 2), strings.Join(l.Flags, ", "))
	}
	if err := table.write(out); err != nil {
		return err
	}
	_, err := fmt.Fprintf(out, "\non %s; lo and hi bound the central 90 %%\n", at)
	return err
}
