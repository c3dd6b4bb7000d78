package cellar

import (
	"math"

	"example.org/croze/internal/gauge"
	"example.org/croze/internal/spirit"
)

// content works out the measured content of the vessel, if one was measured.
func (w *resolution) content(reading *Reading) (*Content, error) {
	field, err := w.oneGauge()
	if err != nil || field == "" {
		return nil, err
	}
	strength := w.State.StrengthNow(w.vessel.Code)
	if reading != nil {
		strength = reading.StrengthPct
	}
	liquid := gauge.Of(strength, orReference(w.temperature()))
	c, err := w.gauged(field, liquid)
	if err != nil {
		return nil, err
	}
	c.TempC = w.temperature()
	return c, checkCapacity(w.vessel.Vessel, c.VolumeL)
}

// oneGauge returns the field by which the content was measured; two of them
// would be two contents.
func (w *resolution) oneGauge() (string, error) {
	given := ""
	for _, g := range []struct {
		field string
		value *float64
	}{
		{"volume_l", w.VolumeL}, {"gross_kg", w.GrossKg}, {"dip_cm", w.DipCm},
		{"ullage_cm", w.UllageCm}, {"level_cm", w.LevelCm}, {"meter_l", w.MeterL}, {"jug_l", w.JugL},
	} {
		if g.value == nil {
			continue
		}
		if given != "" {
			return "", invalid(g.field, trimmed(*g.value), "give %s or %s, not both", given, g.field)
		}
		given = g.field
	}
	return given, nil
}

func (w *resolution) gauged(field string, l gauge.Liquid) (*Content, error) {
	switch field {
	case "gross_kg":
		return w.weighed(l)
	case "volume_l":
		return contentOf(field, *w.VolumeL, false)(gauge.ByVolume(spirit.Litres(*w.VolumeL), l.At, l.Strength))
	case "meter_l":
		return contentOf(field, *w.MeterL, true)(gauge.ByMeter(spirit.Litres(*w.MeterL), l))
	case "jug_l":
		return w.jugged(l)
	case "level_cm":
		return w.levelled(l)
	}
	return w.dipped(field, l)
}

// contentOf turns what a gauge found into what a sample keeps. The usual
// uncertainty of a bare volume is a guess, and the stock as a whole knows
// better; a dip's or a jug's follows from its geometry.
func contentOf(field string, read float64, keepSD bool) func(gauge.Measured, error) (*Content, error) {
	return func(found gauge.Measured, err error) (*Content, error) {
		if err != nil {
			return nil, invalid(field, trimmed(read), "%v", err)
		}
		c := &Content{Method: string(found.Method), Read: read, VolumeL: found.Volume, NetKg: found.Amount.Mass()}
		if keepSD {
			c.SDL = found.VolumeSD
		}
		return c, nil
	}
}

// weighed is the content by gross weight, with the balance's certificate if it has one.
func (w *resolution) weighed(l gauge.Liquid) (*Content, error) {
	tare := w.vessel.TareKg
	if tare == 0 {
		return nil, invalid("gross_kg", trimmed(*w.GrossKg), "vessel %s has no tare_kg: register its weight when empty first", w.vessel.Code)
	}
	gross := spirit.Kilograms(*w.GrossKg)
	weighing := gauge.Weighing{Gross: gross, GrossSD: gauge.BalanceSD(gross), Tare: tare, TareSD: gauge.BalanceSD(tare)}
	balance, certified, err := w.instrumentOf("balance", w.Balance, BalanceKind)
	if err != nil {
		return nil, err
	}
	if certified {
		weighing.Gross += spirit.Kilograms(balance.Add)
		weighing.GrossSD = spirit.Kilograms(balance.SD)
	}
	found, err := weighing.Content(l)
	c, err := contentOf("gross_kg", *w.GrossKg, certified)(found, err)
	if err != nil {
		return nil, err
	}
	c.TareKg, c.Instrument = tare, w.Balance
	return c, nil
}

func (w *resolution) jugged(l gauge.Liquid) (*Content, error) {
	times, last := 0.0, 0.0
	if w.JugTimes != nil {
		times = *w.JugTimes
	}
	if w.JugLastL != nil {
		last = *w.JugLastL
	}
	if !(times >= 0 && times <= 10_000) || times != math.Trunc(times) {
		return nil, invalid("jug_times", trimmed(times), "a whole number of full jugs")
	}
	return contentOf("jug_l", *w.JugL, true)(gauge.ByJug(spirit.Litres(*w.JugL), int(times), spirit.Litres(last), l))
}

func (w *resolution) levelled(l gauge.Liquid) (*Content, error) {
	in := w.vessel.Inside
	if in == nil || in.Jar == nil {
		return nil, invalid("level_cm", trimmed(*w.LevelCm), "the inside of %s is not registered as a jar's: measure it first", w.vessel.Code)
	}
	brimFull, err := in.Jar.Figured()
	if err != nil {
		return nil, invalid("level_cm", trimmed(*w.LevelCm), "%v", err)
	}
	level := gauge.Level{Jar: *in.Jar, Capacity: brimFull, Height: gauge.Centimetres(*w.LevelCm), HeightSD: gauge.UsualLevelSD}
	if in.Staves != nil {
		level.Staves = *in.Staves
	}
	return contentOf("level_cm", *w.LevelCm, true)(level.Content(l))
}

// dipped is the content by the wet part of a rod, or by the dry part from the bung down.
func (w *resolution) dipped(field string, l gauge.Liquid) (*Content, error) {
	value := w.DipCm
	if field == "ullage_cm" {
		value = w.UllageCm
	}
	in := w.vessel.Inside
	if in == nil || in.Shape == nil {
		return nil, invalid(field, trimmed(*value), "the inside of %s is not registered: measure bung, head and length first", w.vessel.Code)
	}
	capacity := w.vessel.capacity()
	if field == "ullage_cm" {
		u := gauge.Ullage{Shape: *in.Shape, Position: in.Position, Capacity: capacity, Dry: gauge.Centimetres(*value), DrySD: gauge.UsualDipSD}
		return contentOf(field, *value, true)(u.Content(l))
	}
	d := gauge.Dip{Shape: *in.Shape, Position: in.Position, Capacity: capacity, Wet: gauge.Centimetres(*value), WetSD: gauge.UsualDipSD}
	return contentOf(field, *value, true)(d.Content(l))
}
