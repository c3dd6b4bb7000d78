package book

import (
	"fmt"
	"math/big"
	"slices"
	"strconv"

	"example.org/croze/internal/spirit"
)

// Thousandths is a figure printed with three decimals.
type Thousandths int64

// String writes it so: 12.345, -0.001.
func (t Thousandths) String() string {
	sign := ""
	if t < 0 {
		sign, t = "-", -t
	}
	return fmt.Sprintf("%s%d.%03d", sign, t/1000, t%1000)
}

// Float is its value.
func (t Thousandths) Float() float64 { return float64(t) / 1000 }

// MarshalJSON writes it as a number with three decimals.
func (t Thousandths) MarshalJSON() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalJSON reads what MarshalJSON wrote.
func (t *Thousandths) UnmarshalJSON(text []byte) error {
	x, err := strconv.ParseFloat(string(text), 64)
	if err == nil {
		*t = nearest(new(big.Rat).Mul(new(big.Rat).SetFloat64(x), big.NewRat(1000, 1)))
	}
	return err
}

// round works out the printed columns of a section so that they add up too.
// Opening and closing are rounded to the nearest, so that an opening is what the
// closing before it was. Every line between is rounded down, and the thousandths
// that are then missing go to the lines with the largest remainders.
func (s *Section) round() {
	perKg := spirit.Amount{EthanolMg: 1_000_000}
	for _, column := range []struct {
		perKg float64
		of    func(*Line) *Thousandths
	}{
		{float64(perKg.PureAlcohol()), func(l *Line) *Thousandths { return &l.PureAlcoholL }},
		{float64(perKg.ProofGallons()), func(l *Line) *Thousandths { return &l.ProofGallons }},
	} {
		thousandthsPerMg := new(big.Rat).Quo(new(big.Rat).SetFloat64(column.perKg), big.NewRat(1000, 1))
		s.roundColumn(thousandthsPerMg, column.of)
	}
}

func (s *Section) roundColumn(perMg *big.Rat, of func(*Line) *Thousandths) {
	last := len(s.Lines) - 1
	if last < 1 {
		return
	}
	var missing Thousandths
	remainders := make(map[int]*big.Rat)
	var order []int
	for i := range s.Lines {
		exact := new(big.Rat).Mul(perMg, new(big.Rat).SetInt64(s.Lines[i].Amount.EthanolMg))
		printed := of(&s.Lines[i])
		switch i {
		case 0:
			*printed = nearest(exact)
			missing -= *printed
		case last:
			*printed = nearest(exact)
			missing += *printed
		default:
			*printed = below(exact)
			missing -= *printed
			if left := exact.Sub(exact, new(big.Rat).SetInt64(int64(*printed))); left.Sign() > 0 {
				remainders[i] = left
				order = append(order, i)
			}
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return remainders[b].Cmp(remainders[a]) })
	for _, i := range order[:min(len(order), int(max(0, missing)))] {
		*of(&s.Lines[i])++
	}
}

// below is the largest whole number not above x.
func below(x *big.Rat) Thousandths {
	return Thousandths(new(big.Int).Div(x.Num(), x.Denom()).Int64()) // Euclidean: down for a denominator above 0
}

func nearest(x *big.Rat) Thousandths {
	return below(new(big.Rat).Add(x, big.NewRat(1, 2)))
}
