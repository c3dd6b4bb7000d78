package server

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/croze/internal/book"
)

// stockColumn is a column of the stock table.
type stockColumn struct {
	Key, Words string
	Long       string // what stands for, if the words are short
	Number     bool
	usual      bool // shown unless others are chosen
	cell       func(r *book.TableRow) stockCell
}

// stockCell is what a row says in a column: a number may have its uncertainty
// behind it, and flags are words of their own.
type stockCell struct {
	Column     *stockColumn
	Text, More string
	Flags      []string
}

func text(of func(r *book.TableRow) string) func(r *book.TableRow) stockCell {
	return func(r *book.TableRow) stockCell { return stockCell{Text: of(r)} }
}

// figure leaves an empty vessel's cell blank.
func figure(form string, of func(r *book.TableRow) float64) func(r *book.TableRow) stockCell {
	return func(r *book.TableRow) stockCell {
		if r.Empty() {
			return stockCell{}
		}
		return stockCell{Text: sayFigure(form, of(r))}
	}
}

// estimate is a figure of the estimator, with what is said behind it: nothing
// where the estimator has not read the vessel.
func estimate(form string, byBooks bool, of func(r *book.TableRow) (mean, sd float64)) func(r *book.TableRow) stockCell {
	return func(r *book.TableRow) stockCell {
		if r.Empty() {
			return stockCell{}
		}
		mean, sd := of(r)
		if r.Basis == book.ByBooks {
			if !byBooks {
				return stockCell{More: "not yet"}
			}
			return stockCell{Text: sayFigure(form, mean), More: "by the books"}
		}
		return stockCell{Text: sayFigure(form, mean), More: "± " + saySpread(decimals(form), sd)}
	}
}

var stockColumns = []*stockColumn{
	{Key: "maker", Words: "Maker's code", cell: text(func(r *book.TableRow) string { return r.MakerCode })},
	{Key: "place", Words: "Place", usual: true, cell: text(func(r *book.TableRow) string { return r.Place })},
	{Key: "spot", Words: "Row, tier", cell: text(func(r *book.TableRow) string { return spotWords(r.Spot.Row, r.Spot.Tier) })},
	{Key: "wood", Words: "Wood", cell: text(func(r *book.TableRow) string { return strings.TrimSpace(r.Wood + " " + r.WoodState) })},
	{Key: "batch", Words: "Batch", cell: text(func(r *book.TableRow) string { return sharesInWords(r.Batches) })},
	{Key: "grain", Words: "Grain", cell: text(func(r *book.TableRow) string { return sharesInWords(r.Grains) })},
	{Key: "volume", Words: "Content, L", Number: true, usual: true, cell: estimate("%.2f", true, func(r *book.TableRow) (float64, float64) { return r.VolumeL, r.VolumeSDL })},
	{Key: "fill", Words: "Full, %", Number: true, cell: figure("%.0f", func(r *book.TableRow) float64 { return 100 * r.VolumeL / r.CapacityL })},
	{Key: "strength", Words: "Strength, % vol", Number: true, usual: true, cell: estimate("%.1f", true, func(r *book.TableRow) (float64, float64) { return r.StrengthPct, r.StrengthSD })},
	{Key: "alcohol", Words: "Pure alcohol, L", Number: true, usual: true, cell: figure("%.2f", func(r *book.TableRow) float64 { return r.PureAlcoholL })},
	{Key: "youngest", Words: "Age, youngest", usual: true, cell: ages(func(r *book.TableRow) int { return r.YoungestDays })},
	{Key: "age", Words: "Mean age", Long: "mean age by pure alcohol", cell: ages(func(r *book.TableRow) int { return r.AgeDays })},
	{Key: "filled", Words: "Filled", cell: text(func(r *book.TableRow) string { return r.FilledOn })},
	{Key: "sampled", Words: "Last look", cell: text(func(r *book.TableRow) string { return r.SampledOn })},
	{Key: "loss", Words: "Loss, % a year", Number: true, usual: true, cell: estimate("%.1f", false, func(r *book.TableRow) (float64, float64) { return r.LossPctPerYear, r.State.LossPctPerYear.SD })},
	{Key: "drift", Words: "Drift, % vol a year", Number: true, usual: true, cell: estimate("%+.2f", false, func(r *book.TableRow) (float64, float64) { return r.DriftPerYear, r.State.DriftPctPerYear.SD })},
	{Key: "rate", Words: "Against its like", Number: true, cell: againstLike},
	{Key: "per_l", Words: "Value a litre", Number: true, cell: valued("%.2f", func(r *book.TableRow) float64 { return r.PerL })},
	{Key: "value", Words: "Value", Number: true, cell: valued("%.0f", (*book.TableRow).Value)},
	{Key: "flags", Words: "Remarks", usual: true, cell: func(r *book.TableRow) stockCell { return stockCell{Flags: r.Flags} }},
}

func ages(of func(r *book.TableRow) int) func(r *book.TableRow) stockCell {
	return text(func(r *book.TableRow) string {
		if r.Empty() {
			return ""
		}
		return sayDays(of(r))
	})
}

// valued leaves the cell blank where nobody said what a litre is worth.
func valued(form string, of func(r *book.TableRow) float64) func(r *book.TableRow) stockCell {
	shown := figure(form, of)
	return func(r *book.TableRow) stockCell {
		if r.PerL == 0 {
			return stockCell{}
		}
		return shown(r)
	}
}

func againstLike(r *book.TableRow) stockCell {
	if r.Empty() || r.Basis == book.ByBooks {
		return stockCell{}
	}
	return stockCell{Text: fmt.Sprintf("%.1f ×", r.RateVsKind)}
}

func spotWords(row, tier string) string {
	switch {
	case row == "":
		return tier
	case tier == "":
		return row
	}
	return row + ", " + tier
}

// chosenColumns are those named in the address, or the usual ones.
func chosenColumns(names []string, valued bool) []*stockColumn {
	var chosen []*stockColumn
	for _, column := range stockColumns {
		is := column.usual || column.Key == "value" && valued
		if len(names) > 0 {
			is = false
			for _, name := range names {
				is = is || name == column.Key
			}
		}
		if is {
			chosen = append(chosen, column)
		}
	}
	return chosen
}

// sharesInWords names what there is most of first, with its share unless it is all.
func sharesInWords(shares map[string]float64) string {
	names := slices.SortedFunc(maps.Keys(shares), func(a, b string) int {
		return cmp.Or(cmp.Compare(shares[b], shares[a]), cmp.Compare(a, b))
	})
	if len(names) == 1 {
		return names[0]
	}
	for i, name := range names {
		names[i] = name + " " + sayShare(shares[name])
	}
	return strings.Join(names, ", ")
}
