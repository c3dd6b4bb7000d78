package book

import (
	"strings"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// AccountLine is one end of the accounts, or all holders of a class together.
type AccountLine struct {
	Name         string
	PureAlcoholL float64
	ProofGallons float64
	MassKg       float64
}

// accountWords are the classes and ends in the order in which a person reads them.
var accountWords = []struct{ class, words string }{
	{"made", "Made"}, {"water", "Water added"}, {"batch", "In batches, not filled"}, {"vessel", "In vessels, by the books"},
	{"lot", "In bottles"}, {"samples", "Taken as samples"}, {"drawn", "Drawn"}, {"spilled", "Spilled"},
	{"handling", "Left in hoses and filters"}, {"indrink", "Soaked into the wood"}, {"angels", "Evaporated, found by gauging"}, {"unexplained", "Unexplained"},
}

// AccountLines sums the accounts by class; over all of them pure alcohol and
// mass come to nothing.
func (v *View) AccountLines() []AccountLine { return remember(v, "", "accounts", v.accountLines) }

func (v *View) accountLines() []AccountLine {
	sums := make(map[string]spirit.Amount)
	for a, balance := range v.State.Balances() {
		class, _ := a.Split()
		sums[class] = sums[class].Add(balance)
	}
	var lines []AccountLine
	for _, words := range accountWords {
		if sum, used := sums[words.class]; used {
			lines = append(lines, AccountLine{words.words, float64(sum.PureAlcohol()), float64(sum.ProofGallons()), float64(sum.Mass())})
		}
	}
	return lines
}

// MovementsOf lists what an entry moved.
func (v *View) MovementsOf(seq uint64) []cellar.Movement {
	var moves []cellar.Movement
	for _, m := range v.State.Movements {
		if m.Seq == seq {
			moves = append(moves, m)
		}
	}
	return moves
}

// VoidedBy is the number of the entry that took another back, 0 if it stands.
func (v *View) VoidedBy(id string) uint64 { return v.voided()[id] }

// AccountName says an account's name as people do: Vessel RYE-1, Drawn.
func AccountName(a cellar.Account) string {
	class, name := a.Split()
	switch class {
	case "vessel", "batch", "lot":
		return strings.ToUpper(class[:1]) + class[1:] + " " + name
	case "indrink":
		return "Wood of " + name
	}
	for _, words := range accountWords {
		if words.class == class {
			return words.words
		}
	}
	return string(a)
}
