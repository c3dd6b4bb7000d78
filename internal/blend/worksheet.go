package blend

import (
	"fmt"
	"math"
	"sort"

	"example.org/croze/internal/spirit"
)

// Conditions are what the work at the vat depends on besides the plan.
type Conditions struct {
	VesselC   map[string]float64 // temperature of each vessel, °C
	OtherC    float64            // of vessels not named
	MeasureL  float64            // what the vat or measure holds; 0 for all of it
	MostDrop  float64            // largest drop of strength in one addition of water, % vol; 0 for DefaultDrop
	RestHours float64            // to wait after each addition but the last
}

// DefaultDrop is how far one addition of water brings the strength down at
// most. Spirit that is reduced slowly stays clear.
const DefaultDrop = 10.0

// Sheet is the work at the vat, for one measure. The lot takes Measures of
// them, all alike. Draws come largest first, so that the vat is soon deep enough to stir.
type Sheet struct {
	Measures int         `json:"measures"`
	Draws    []SheetDraw `json:"draws"`
	Spirit   Made        `json:"spirit"` // before any water
	Water    []WaterStep `json:"water"`
	Result   Made        `json:"result"`
}

// SheetDraw is one draw, by volume at the vessel's temperature and by weight.
type SheetDraw struct {
	ID        string  `json:"id"`
	VolumeL   float64 `json:"volume_l"` // at 20 °C
	AtC       float64 `json:"at_c"`
	VolumeAtL float64 `json:"volume_at_l"` // at AtC
	MassKg    float64 `json:"mass_kg"`
	WeighsKg  float64 `json:"weighs_kg"` // on a balance in air
}

// WaterStep is one addition of water and what stands in the vat after it.
type WaterStep struct {
	WaterL      float64 `json:"water_l"`
	WaterKg     float64 `json:"water_kg"`
	WeighsKg    float64 `json:"weighs_kg"`
	StrengthPct float64 `json:"strength_pct"`
	VolumeL     float64 `json:"volume_l"`
	RestHours   float64 `json:"rest_hours,omitempty"`
}

// WorkSheet lays out a plan's draws and water (a Result's, or a Making's) as
// work. The plan gives the strengths of the vessels.
func WorkSheet(p Plan, draws []Draw, waterKg float64, c Conditions) (Sheet, error) {
	if err := c.check(); err != nil {
		return Sheet{}, err
	}
	whole, err := sheetOf(p, draws, waterKg, c, 1)
	if err != nil || c.MeasureL == 0 || whole.Result.VolumeL <= c.MeasureL {
		return whole, err
	}
	return sheetOf(p, draws, waterKg, c, portionsFor(whole.Result.VolumeL, c.MeasureL))
}

func (c *Conditions) check() error {
	found := &problems{}
	liquid := scope{float64(spirit.ColdestLiquid), float64(spirit.WarmestLiquid), false}
	checkNumber(found, "", "other_c", c.OtherC, liquid)
	checkNumbers(found, "", "vessel_c", c.VesselC, liquid)
	checkNumber(found, "", "measure_l", c.MeasureL, someLeft)
	checkNumber(found, "", "most_drop", c.MostDrop, aStrength)
	checkNumber(found, "", "rest_hours", c.RestHours, scope{0, 10_000, false})
	return found.err()
}

// sheetOf works out one of n equal measures.
func sheetOf(p Plan, draws []Draw, waterKg float64, c Conditions, n int) (Sheet, error) {
	strength := make(map[string]float64, len(p.Sources))
	for i := range p.Sources {
		strength[p.Sources[i].ID] = p.Sources[i].StrengthPct
	}
	s := Sheet{Measures: n}
	var alcohol, mass float64
	for _, d := range draws {
		pct, known := strength[d.ID]
		if !known {
			return s, fmt.Errorf("the plan has no source %q, which is drawn on", d.ID)
		}
		line, err := c.line(d, pct, n)
		if err != nil {
			return s, err
		}
		s.Draws = append(s.Draws, line)
		alcohol += line.VolumeL * pct / 100
		mass += line.MassKg
	}
	sort.SliceStable(s.Draws, func(a, b int) bool { return s.Draws[a].VolumeL > s.Draws[b].VolumeL })
	return s, s.addWater(alcohol, mass, waterKg/float64(n), c)
}

func (c *Conditions) line(d Draw, pct float64, n int) (SheetDraw, error) {
	at, named := c.VesselC[d.ID]
	if !named {
		at = c.OtherC
	}
	v := d.VolumeL / float64(n)
	there, err := spirit.VolumeFrom(spirit.Litres(v), spirit.Strength(pct), spirit.Reference, spirit.Celsius(at))
	mass := v * density(pct)
	return SheetDraw{d.ID, v, at, float64(there), mass, weighed(mass, density(pct))}, err
}

// addWater divides the water into additions that bring the strength down by
// equal steps.
func (s *Sheet) addWater(alcohol, mass, waterKg float64, c Conditions) error {
	var err error
	if s.Spirit, err = mixture(alcohol, mass); err != nil {
		return err
	}
	if s.Result, err = mixture(alcohol, mass+waterKg); err != nil || waterKg <= 0 {
		return err
	}
	drop := c.MostDrop
	if drop == 0 {
		drop = DefaultDrop
	}
	from, to := s.Spirit.StrengthPct, s.Result.StrengthPct
	steps := max(1, int(math.Ceil((from-to)/drop-1e-9)))
	added := 0.0
	for i := 1; i <= steps; i++ {
		upTo := waterKg
		if i < steps {
			if upTo, err = waterFor(alcohol, mass, from+(to-from)*float64(i)/float64(steps)); err != nil {
				return err
			}
		}
		made, err := mixture(alcohol, mass+upTo)
		if err != nil {
			return err
		}
		kg := upTo - added
		step := WaterStep{kg / waterDensity, kg, weighed(kg, waterDensity), made.StrengthPct, made.VolumeL, c.RestHours}
		if i == steps {
			step.RestHours = 0
		}
		s.Water = append(s.Water, step)
		added = upTo
	}
	return nil
}

// waterFor is the water in kg that brings alcohol (L) in a mass (kg) to a strength.
func waterFor(alcohol, mass, pct float64) (float64, error) {
	p, err := spirit.Strength(pct).MassFraction()
	if err != nil {
		return 0, err
	}
	return alcohol*float64(spirit.EthanolDensity)/1000/float64(p) - mass, nil
}
