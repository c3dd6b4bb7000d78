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

var statementCommand = command{
	name: "statement",
	does: "says what came and went in a period, by cause, adding up to the milligram",
	args: "--data DIR --from DATE --to DATE [--vessels CODES | --kind KIND | --place PLACE] [--known DATE]\n" +
		"                       [--json | --csv | --xlsx FILE | --pdf FILE | --close | --reopen]\n" +
		"                       [--note WORDS] [--who NAME]",
	more: "Both days are in the period. Without --vessels, --kind or --place it is about all, and about\n" +
		"what is made and not yet filled. The tool gives figures; the law of the place decides what is due.",
	example: "croze statement --data cellar --from 2024-01-01 --to 2024-12-31 --pdf statement-2024.pdf",
	set:     setStatement,
}

type statementFlags struct {
	data, vessels, kind, place, pdf *string
	from, to, known                 *day
	show                            *shown
	close, reopen                   *bool
	note, who                       *string
}

func setStatement(f *flag.FlagSet) func(world, []string) error {
	s := statementFlags{
		data: dataFlag(f), from: dayFlag(f, "from", "first `DATE` of the period"), to: dayFlag(f, "to", "its last `DATE`"),
		vessels: f.String("vessels", "", "`CODES` of the vessels, with commas between"),
		kind:    f.String("kind", "", "vessels of a `KIND`: cask, hybrid, jar or tank"),
		place:   f.String("place", "", "vessels that stand in a `PLACE`"),
		known:   dayFlag(f, "known", "as known on `DATE`"),
		show:    showFlags(f),
		pdf:     f.String("pdf", "", "printable, into `FILE`"),
		close:   f.Bool("close", false, "close the period: its figures are frozen"),
		reopen:  f.Bool("reopen", false, "take the closing of the period back"),
		note:    f.String("note", "", "`WORDS` kept with a closing, or why it is taken back"),
		who:     f.String("who", "keeper", "`NAME` to put on a closing"),
	}
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		return w.statement(s)
	}
}

func (w world) statement(s statementFlags) error {
	from, errFrom := s.from.orNone("from")
	to, errTo := s.to.orNone("to")
	known, errKnown := s.known.orNone("known")
	if err := errors.Join(errFrom, errTo, errKnown); err != nil {
		return err
	}
	if from == 0 || to == 0 {
		return errors.New("--from and --to: say the first and the last day of the period")
	}
	if *s.pdf != "" && (s.show.json || s.show.csv || s.show.xlsx != "") {
		return errors.New("give one of --json, --csv, --xlsx and --pdf")
	}
	if *s.close || *s.reopen {
		return w.closing(s, book.Period{From: from, To: to})
	}
	return w.seeing(*s.data, book.Moment{Known: known}, func(v *book.View) error {
		codes, err := s.chosen(v)
		if err != nil {
			return err
		}
		statement, err := v.Statement(book.Period{From: from, To: to}, codes)
		if err != nil {
			return err
		}
		if *s.pdf != "" {
			return writeFile(*s.pdf, forAll, func(out io.Writer) error { return exchange.StatementPDF(out, statement, v.On) })
		}
		return w.show(s.show, statement, exchange.Statement(statement), func(out io.Writer) error { return printStatement(out, statement) })
	})
}

// closing closes a period, or opens it again.
func (w world) closing(s statementFlags, p book.Period) error {
	if *s.close == *s.reopen || *s.pdf != "" || s.known.given || s.show.json || s.show.csv || s.show.xlsx != "" {
		return errors.New("--close and --reopen: give one of them, and no form to show figures in")
	}
	return w.writing(*s.data, func(b *book.Book) error {
		var codes []string
		err := b.See(book.Moment{}, func(v *book.View) (err error) {
			codes, err = s.chosen(v)
			return err
		})
		if err != nil {
			return err
		}
		if *s.reopen {
			e, err := b.Reopen(*s.who, p, codes, *s.note)
			if err == nil {
				fmt.Fprintf(w.out, "%s to %s is open again, by entry %d.\n", p.From, p.To, e.Seq)
			}
			return err
		}
		e, err := b.ClosePeriod("", *s.who, p, codes, *s.note)
		if err == nil {
			fmt.Fprintf(w.out, "%s to %s is closed, by entry %d.\n", p.From, p.To, e.Seq)
		}
		return err
	})
}

// chosen lists the vessels that the flags name, none for all.
func (s statementFlags) chosen(v *book.View) ([]string, error) {
	asked := *s.kind != "" || *s.place != ""
	switch {
	case *s.vessels != "" && asked:
		return nil, errors.New("--vessels: give it or --kind and --place, not both")
	case *s.vessels != "":
		return strings.Split(*s.vessels, ","), nil
	case !asked:
		return nil, nil
	}
	codes := v.VesselsOf(*s.kind, *s.place)
	if len(codes) == 0 {
		return nil, &cellar.Problem{Kind: cellar.NotFound, Field: "kind", Value: strings.TrimSpace(*s.kind + " " + *s.place), Reason: "no vessel is of this kind or stands there"}
	}
	return codes, nil
}

func printStatement(out io.Writer, s *book.Statement) error {
	fmt.Fprintf(out, "%s to %s, vessels: %s\n", s.From, s.To, exchange.VesselsInWords(s))
	if s.Closed > 0 {
		fmt.Fprintf(out, "Closed by entry %d: the figures are those of the closing.\n", s.Closed)
	}
	for _, section := range s.Sections {
		fmt.Fprintln(out)
		table := &columns{heads: []string{book.SectionWords(section.Name), ">pure alcohol L", ">proof gallons", ">ethanol mg", ">water mg"}}
		for _, l := range section.Lines {
			table.add(book.LineWords(l.Key), l.PureAlcoholL.String(), l.ProofGallons.String(), fmt.Sprint(l.Amount.EthanolMg), fmt.Sprint(l.Amount.WaterMg))
		}
		if err := table.write(out); err != nil {
			return err
		}
	}
	if u := s.Unposted; u.Vessels > 0 {
		fmt.Fprintf(out, "\nNot posted yet, an estimate in none of these figures: %s L of pure alcohol (%s to %s)\n", fixed(u.MeanL, 2), fixed(u.LowL, 2), fixed(u.HighL, 2))
	}
	for _, l := range s.Losses {
		fmt.Fprintf(out, "%s lost %s L of pure alcohol in %d days, %s %% a year; the limit is %s %%\n", l.Vessel, fixed(l.LostL, 3), l.Days, fixed(l.PctPerYear, 1), short(l.LimitPct))
	}
	_, err := fmt.Fprintf(out, "\n%s\n", exchange.LawDecides)
	return err
}
