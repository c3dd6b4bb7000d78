package cellar

import (
	"example.org/croze/internal/spirit"
)

func (w *resolution) sample() (Fact, error) {
	if err := w.needFilled(); err != nil {
		return nil, err
	}
	reading, err := w.reading()
	if err != nil {
		return nil, err
	}
	content, err := w.content(reading)
	if err != nil {
		return nil, err
	}
	s := &Sample{Vessel: w.vessel.Code, Reading: reading, Content: content, Senses: w.Senses, Note: w.Note}
	if w.DrawnL != nil {
		m, err := w.moved("drawn_l", *w.DrawnL, VesselAccount(w.vessel.Code))
		if err != nil {
			return nil, err
		}
		m.Reading = nil // the sample has it
		s.Taken = &m
	}
	if reading == nil && content == nil && s.Taken == nil && w.Senses == nil && w.Note == "" {
		return nil, invalid("strength_pct", nil, "a sample says something: a strength, a content, what was taken, or what was tasted")
	}
	if reading != nil {
		w.questionStrength(reading.StrengthPct, "")
		w.questionScale(reading)
	}
	w.questionContent(content)
	return s, nil
}

// taken is the volume of a draw or a spill, under either name.
func (w *resolution) taken() (Measure, error) {
	if err := w.needFilled(); err != nil {
		return Measure{}, err
	}
	if w.GrossKg != nil {
		return Measure{}, invalid("gross_kg", trimmed(*w.GrossKg), "give the volume taken; a weight of the vessel belongs in a sample")
	}
	a := VesselAccount(w.vessel.Code)
	switch {
	case w.DrawnL != nil && w.VolumeL != nil && *w.DrawnL != *w.VolumeL:
		return Measure{}, invalid("drawn_l", trimmed(*w.DrawnL), "volume_l says %s: give one of them", trimmed(*w.VolumeL))
	case w.DrawnL != nil:
		return w.moved("drawn_l", *w.DrawnL, a)
	case w.VolumeL != nil:
		return w.moved("volume_l", *w.VolumeL, a)
	}
	return Measure{}, invalid("drawn_l", nil, "say how much was taken")
}

func (w *resolution) draw() (Fact, error) {
	m, err := w.taken()
	if err != nil {
		return nil, err
	}
	return &Draw{Vessel: w.vessel.Code, Measure: m, Note: w.Note}, nil
}

func (w *resolution) spill() (Fact, error) {
	m, err := w.taken()
	if err != nil {
		return nil, err
	}
	return &Spill{Vessel: w.vessel.Code, Measure: m, Note: w.Note}, nil
}

func (w *resolution) empty() (Fact, error) {
	if err := w.needFilled(); err != nil {
		return nil, err
	}
	e := &Empty{Vessel: w.vessel.Code, Note: w.Note}
	if w.VolumeL == nil && w.GrossKg == nil && w.DrawnL == nil {
		return e, nil
	}
	m, err := w.emptied()
	e.Measure = &m
	return e, err
}

func (w *resolution) emptied() (Measure, error) {
	if w.GrossKg != nil {
		return w.weighedIn(VesselAccount(w.vessel.Code))
	}
	return w.taken()
}

func (w *resolution) bottle() (Fact, error) {
	if err := w.needFilled(); err != nil {
		return nil, err
	}
	if err := CheckName("lot", w.Lot); err != nil {
		return nil, err
	}
	if len(w.Bottles) == 0 || len(w.Bottles) > MostBottleSizes {
		return nil, invalid("bottles", len(w.Bottles), "a bottling has 1 to %d sizes", MostBottleSizes)
	}
	var volume float64
	for _, b := range w.Bottles {
		if !(b.SizeL > 0 && b.SizeL <= 100) || b.Count < 1 || b.Count > 1_000_000 {
			return nil, invalid("bottles", b.SizeL, "a size is above 0 and at most 100 L, a count 1 to 1000000")
		}
		volume += float64(b.SizeL) * float64(b.Count)
	}
	m, err := w.moved("bottles", volume, VesselAccount(w.vessel.Code))
	if err != nil {
		return nil, err
	}
	label := m.StrengthPct
	if w.LabelPct != nil {
		label = spirit.Strength(*w.LabelPct)
	}
	return &Bottle{
		Vessel: w.vessel.Code, Lot: w.Lot, Bottles: w.Bottles, LabelPct: label,
		Measure: m, Empties: w.All, Note: w.Note,
	}, nil
}

func (w *resolution) move() (Fact, error) {
	if err := w.needVessel(); err != nil {
		return nil, err
	}
	if _, ok := w.State.Places[w.Place]; !ok {
		return nil, notFound("place", w.Place, "no such place is registered")
	}
	spot := Spot{Row: w.Row, Tier: w.Tier}
	if err := spot.check(); err != nil {
		return nil, err
	}
	return &Move{Vessel: w.vessel.Code, Place: w.Place, Spot: spot, Note: w.Note}, nil
}

func (w *resolution) note() (Fact, error) {
	if w.Note == "" {
		return nil, invalid("note", nil, "write something")
	}
	if w.vessel != nil {
		return &Note{About: VesselAccount(w.vessel.Code), Note: w.Note}, nil
	}
	if w.From == "" {
		return nil, invalid("vessel", nil, "say which vessel or batch the note is about")
	}
	about, err := w.source(w.From)
	return &Note{About: about, Note: w.Note}, err
}

func (w *resolution) void() (Fact, error) {
	if w.Void == "" {
		return nil, invalid("void", nil, "say which entry to take back")
	}
	return &Void{Entry: w.Void, Reason: w.Note}, nil
}
