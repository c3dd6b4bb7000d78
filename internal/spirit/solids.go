package spirit

// Solids dissolved from wood make spirit denser, so a hydrometer shows too
// little: the strength is hidden, "obscured". Two ways to allow for it.

// Residue is dissolved solids in g/100 mL, found by drying a sample.
type Residue float64

// MostResidue is the largest residue for which the rule of thumb may be used;
// above it the sample is distilled (27 CFR 30.32 and 13.31).
const MostResidue Residue = 0.6

// Obscuration returns the proof that a residue of 0 to 0.6 g/100 mL hides:
// 0.4 of a degree for each 0.1 g/100 mL (27 CFR 30.32(b), for 80 to 100 proof).
func (r Residue) Obscuration() (Proof, error) {
	if !inRange(float64(r), 0, float64(MostResidue)) {
		return 0, &RangeError{"dissolved solids (above this, distil the sample)", "g/100 mL", float64(r), 0, float64(MostResidue)}
	}
	return Proof(4 * r), nil
}

// CorrectForResidue adds what the residue hides to an apparent strength.
func CorrectForResidue(apparent Strength, r Residue) (Strength, error) {
	hidden, err := r.Obscuration()
	if err != nil {
		return 0, err
	}
	proof, err := apparent.Proof()
	if err != nil {
		return 0, err
	}
	return (proof + hidden).Strength()
}

// Obscuration is what a laboratory found to be hidden: the strength of the
// distillate made up to volume less the apparent strength, in % vol, 0 to 10.
type Obscuration float64

// Correct adds a measured obscuration to an apparent strength.
func (o Obscuration) Correct(apparent Strength) (Strength, error) {
	if !inRange(float64(o), 0, 10) {
		return 0, &RangeError{"obscuration", "% vol", float64(o), 0, 10}
	}
	q := apparent + Strength(o)
	return q, checkStrength(q)
}
