package main

import (
	"errors"
	"flag"
	"fmt"
	"io"

	"example.org/croze/internal/spirit"
)

var strengthCommand = command{
	name: "strength",
	does: "works out the true strength from a hydrometer's reading",
	args: "--reading R --temp T [--scale vol|proof|density|sg] [--glass-temp 20|15.56] [--residue G] [--json]",
	more: "The strength is in % vol at 20 °C with its standard uncertainty, by OIML R 22. The\n" +
		"density is that of the liquid at 20 °C in vacuum.",
	example: "croze strength --reading 61.4 --temp 12.5",
	set:     setStrength,
}

func setStrength(f *flag.FlagSet) func(world, []string) error {
	reading := f.String("reading", "", "what the stem shows, `R`")
	temp := f.String("temp", "", "temperature of the liquid, `T` in °C (or as 54F)")
	scale := f.String("scale", "vol", "of the stem, `S`: vol, proof, density (kg/m³) or sg")
	glass := numberFlag(f, "glass-temp", "`T` in °C that the instrument was made for: 20, or 15.56 as for proof")
	residue := numberFlag(f, "residue", "dissolved solids, `G` in g/100 mL")
	asJSON := f.Bool("json", false, "as JSON")
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		s, err := trueStrength(*reading, *temp, *scale, glass, residue)
		if err != nil {
			return err
		}
		if *asJSON {
			return writeJSON(w.out, s)
		}
		return printStrength(w.out, s)
	}
}

// strengthResult has the names that are promised to scripts.
type strengthResult struct {
	StrengthPct  spirit.Strength     `json:"strength_pct"`
	StrengthSD   spirit.Strength     `json:"strength_sd"`
	ProofUS      spirit.Proof        `json:"proof_us"`
	DensityKgM3  spirit.Density      `json:"density_kg_m3"`
	MassFraction spirit.MassFraction `json:"mass_fraction"`
}

func trueStrength(reading, temp, scale string, glass, residue *number) (s strengthResult, err error) {
	switch {
	case reading == "":
		return s, errors.New("--reading: is missing: say what the stem shows")
	case temp == "":
		return s, errors.New("--temp: is missing: say how warm the liquid is")
	}
	h, err := hydrometer(scale, glass)
	if err != nil {
		return s, err
	}
	shown, err := spirit.ParseReading(reading, h.Scale)
	if err != nil {
		return s, fmt.Errorf("--reading: %w", err)
	}
	at, err := spirit.ParseCelsius(temp)
	if err != nil {
		return s, fmt.Errorf("--temp: %w", err)
	}
	if s.StrengthPct, s.StrengthSD, err = h.Strength(h.Observed(shown, at)); err != nil {
		return s, fmt.Errorf("--reading: %w", err)
	}
	if residue.given {
		if s.StrengthPct, err = spirit.CorrectForResidue(s.StrengthPct, spirit.Residue(residue.value)); err != nil {
			return s, fmt.Errorf("--residue: %w", err)
		}
	}
	return s.otherScales()
}

func hydrometer(scale string, glass *number) (h spirit.Hydrometer, err error) {
	if h.Scale, err = spirit.ParseScale(scale); err != nil {
		return h, fmt.Errorf("--scale: %w", err)
	}
	h.Base = spirit.Reference
	if h.Scale == spirit.ScaleProof {
		h.Base = spirit.ProofBase
	}
	if !glass.given {
		return h, nil
	}
	h.Base = spirit.Celsius(glass.value)
	if glass.value == 15.56 || glass.value == 15.6 {
		h.Base = spirit.ProofBase
	}
	if !(h.Base >= 0 && h.Base <= spirit.WarmestLiquid) {
		return h, fmt.Errorf("--glass-temp: %s: an instrument is made for 0 to 40 °C, as a rule 20 or 15.56", glass)
	}
	return h, nil
}

// otherScales completes a strength in the other ways to say it.
func (s strengthResult) otherScales() (strengthResult, error) {
	p, err := s.StrengthPct.MassFraction()
	if err != nil {
		return s, err
	}
	s.MassFraction = p
	if s.ProofUS, err = p.Proof(); err != nil {
		return s, err
	}
	s.DensityKgM3, err = spirit.DensityOf(p, spirit.Reference)
	return s, err
}

func printStrength(out io.Writer, s strengthResult) error {
	_, err := fmt.Fprintf(out, "strength       %7.2f %% vol at 20 °C, ± %.2f\nUS proof       %7.2f\ndensity        %7.2f kg/m³ at 20 °C\nmass fraction  %7.4f\n",
		float64(s.StrengthPct), float64(s.StrengthSD), float64(s.ProofUS), float64(s.DensityKgM3), float64(s.MassFraction))
	return err
}
