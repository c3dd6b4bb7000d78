package identity

import (
	"fmt"
	"math"
	"strings"

	"example.org/croze/internal/spirit"
)

// Tri is yes, no or not known.
type Tri string

// The answers; the zero value is not known.
const (
	Unknown Tri = ""
	Yes     Tri = "yes"
	No      Tri = "no"
)

// Vessel says what the spirit lay in.
type Vessel string

// The vessels. Only a cask is wood all round; whether a steel body with a
// wooden head is a wooden container is for the authority to say.
const (
	Cask   Vessel = "cask"
	Hybrid Vessel = "hybrid"
	Jar    Vessel = "jar"
	Tank   Vessel = "tank"
)

// Stay is time in one kind of vessel.
type Stay struct {
	Vessel  Vessel
	Wood    string        // "oak"; empty is not known
	New     Tri           // held nothing before
	Charred Tri           // charred inside
	SizeL   spirit.Litres // capacity; 0 is not known
	Days    int
}

// Part is a share of the spirit with a history of its own: a batch, usually.
type Part struct {
	Name  string
	Stays []Stay
}

// Facts is what is known of a spirit. A nil or empty field is not known.
type Facts struct {
	Parts        []Part             // the youngest decides
	Grains       map[string]float64 // share of each material in the mash, 0 to 1
	DistilledPct *float64           // highest strength at distillation, % vol
	EntryPct     *float64           // strength at filling into wood, % vol
	BottlingPct  *float64           // % vol
	Additives    *[]string          // besides water; an empty list says that there are none
	MadeIn       string             // where it was mashed, distilled and aged: "CA", "Scotland"; empty is not known
	Said         map[string]Tri     // answers to the questions that a condition asks, by its question
}

func (f Facts) check() error {
	for _, strength := range []struct {
		field string
		value *float64
	}{{"distilled strength", f.DistilledPct}, {"entry strength", f.EntryPct}, {"bottling strength", f.BottlingPct}} {
		if v := strength.value; v != nil && !(*v >= 0 && *v <= 100) {
			return fmt.Errorf("%s: %v: must be 0 to 100 %% vol", strength.field, *v)
		}
	}
	for name, share := range f.Grains {
		if !(share >= 0 && share <= 1+shareRounding) {
			return fmt.Errorf("share of %s: %v: must be 0 to 1", name, share)
		}
	}
	for _, part := range f.Parts {
		for _, stay := range part.Stays {
			if stay.Days < 0 || stay.SizeL < 0 || math.IsNaN(float64(stay.SizeL)) {
				return fmt.Errorf("part %s: days %d and size %v L: must not be below 0", part.Name, stay.Days, stay.SizeL)
			}
		}
	}
	return nil
}

const shareRounding = 1e-6

// share adds up the shares of some materials.
func (f Facts) share(names []string) float64 {
	sum := 0.0
	for name, share := range f.Grains {
		if hasFold(names, name) {
			sum += share
		}
	}
	return sum
}

func hasFold(names []string, name string) bool {
	for _, n := range names {
		if strings.EqualFold(n, strings.TrimSpace(name)) {
			return true
		}
	}
	return false
}

// stays lists the stays of all parts.
func (f Facts) stays() []Stay {
	var all []Stay
	for _, part := range f.Parts {
		all = append(all, part.Stays...)
	}
	return all
}
