package gauge

import (
	"fmt"
	"math"

	"example.org/croze/internal/spirit"
)

// HeaviestLoad is the largest gross weight taken, kg: more is a slip of units.
const HeaviestLoad spirit.Kilograms = 1e6

// Weighing is a vessel on a balance in air, and the same vessel empty. The air
// that the vessel itself pushes aside is the same both times and drops out.
type Weighing struct {
	Gross   spirit.Kilograms `json:"gross_kg"` // with the liquid, as read
	GrossSD spirit.Kilograms `json:"gross_sd_kg"`
	Tare    spirit.Kilograms `json:"tare_kg"` // empty, as read
	// TareSD should be wide for a cask whose tare was taken when it was dry:
	// wood takes up several per cent of a cask's content in the first months.
	TareSD spirit.Kilograms `json:"tare_sd_kg"`
}

// BalanceSD is the standard uncertainty usually taken for a floor balance:
// 20 g, and 0.05 % of the load. Common practice, not a certificate.
func BalanceSD(load spirit.Kilograms) spirit.Kilograms {
	return spirit.Kilograms(math.Hypot(0.02, 0.0005*float64(load)))
}

// ByWeight returns the content of a vessel that weighs gross with the liquid
// in it and tare without (both read in air, kg), with the usual uncertainties
// of a floor balance and of a strength. The liquid is taken to be at 20 °C;
// its temperature moves the buoyancy by less than 1 part in 50 000.
func ByWeight(gross, tare spirit.Kilograms, strength spirit.Strength) (Measured, error) {
	w := Weighing{Gross: gross, GrossSD: BalanceSD(gross), Tare: tare, TareSD: BalanceSD(tare)}
	return w.Content(Of(strength, spirit.Reference))
}

// Content returns what the weighing found.
func (w Weighing) Content(l Liquid) (Measured, error) {
	if err := w.check(); err != nil {
		return Measured{}, err
	}
	net := reading{
		value: float64(w.Gross - w.Tare),
		sd:    math.Hypot(float64(w.GrossSD), float64(w.TareSD)),
	}
	return measure(FromWeight, net, l, func(r float64, d spirit.Density) (spirit.Kilograms, error) {
		return spirit.MassOfWeighed(spirit.Kilograms(r), d)
	})
}

func (w Weighing) check() error {
	for _, err := range []error{
		between("gross weight", "kg", float64(w.Gross), 0, float64(HeaviestLoad)),
		between("tare", "kg", float64(w.Tare), 0, float64(HeaviestLoad)),
		checkSD("the gross weight", "kg", float64(w.GrossSD)),
		checkSD("the tare", "kg", float64(w.TareSD)),
	} {
		if err != nil {
			return err
		}
	}
	if w.Gross < w.Tare {
		return fmt.Errorf("gross weight %.6g kg is less than the tare %.6g kg: check both, or weigh the vessel again",
			float64(w.Gross), float64(w.Tare))
	}
	return nil
}
