package cellar

import (
	"sort"

	"example.org/croze/internal/spirit"
)

// InstrumentKind says what an instrument measures.
type InstrumentKind string

// The kinds of instrument.
const (
	HydrometerKind  InstrumentKind = "hydrometer"
	ThermometerKind InstrumentKind = "thermometer"
	BalanceKind     InstrumentKind = "balance"
)

// InstrumentKinds lists the kinds in the order in which people think of them.
var InstrumentKinds = []InstrumentKind{HydrometerKind, ThermometerKind, BalanceKind}

// Instrument is a measuring instrument with one certificate of it. A later
// certificate is registered under the same name and holds for readings from
// its own day on, so that a recalibration leaves earlier readings as they were.
type Instrument struct {
	Name  string         `json:"instrument"`
	Kind  InstrumentKind `json:"kind"`
	Scale string         `json:"scale,omitempty"`   // of a hydrometer: vol, proof, density, sg
	BaseC spirit.Celsius `json:"glass_c,omitempty"` // what a hydrometer was made for
	From  Day            `json:"from"`              // day of the certificate
	Add   float64        `json:"add"`               // to be added to what it shows, in its own unit
	SD    float64        `json:"sd"`                // standard uncertainty of a corrected reading, in its own unit
	Note  string         `json:"note,omitempty"`
}

// InstrumentFact registers an instrument or a new certificate of it.
type InstrumentFact struct{ Instrument }

// Kind is "instrument".
func (*InstrumentFact) Kind() string { return "instrument" }

// Subjects names the instrument.
func (f *InstrumentFact) Subjects() []Account { return []Account{Account("instrument:" + f.Name)} }

func (f *InstrumentFact) test(s *State) error {
	if certificates := s.instruments[f.Name]; len(certificates) > 0 && certificates[0].Kind != f.Instrument.Kind {
		return refused("kind", f.Instrument.Kind, "%s is registered as a %s", f.Name, certificates[0].Kind)
	}
	return nil
}

func (f *InstrumentFact) register(s *State) {
	certificates := s.instruments[f.Name]
	certificates = append(certificates[:len(certificates):len(certificates)], f.Instrument)
	sort.SliceStable(certificates, func(i, j int) bool { return certificates[i].From < certificates[j].From })
	s.instruments[f.Name] = certificates
}

// InstrumentOn returns an instrument with the certificate that holds on a day;
// before its first certificate the first one holds.
func (s *State) InstrumentOn(name string, day Day) (Instrument, bool) {
	certificates := s.instruments[name]
	if len(certificates) == 0 {
		return Instrument{}, false
	}
	held := certificates[0]
	for _, c := range certificates[1:] {
		if c.From <= day {
			held = c
		}
	}
	return held, true
}

// Instruments lists every certificate of every instrument, by name and day.
func (s *State) Instruments() []Instrument {
	var names []string
	for name := range s.instruments {
		names = append(names, name)
	}
	sort.Strings(names)
	var all []Instrument
	for _, name := range names {
		all = append(all, s.instruments[name]...)
	}
	return all
}

// CheckInstrument holds an instrument to sensible figures.
func CheckInstrument(i *Instrument) error {
	if err := CheckName("instrument", i.Name); err != nil {
		return err
	}
	most, ok := map[InstrumentKind]float64{HydrometerKind: 20, ThermometerKind: 10, BalanceKind: 100}[i.Kind]
	if !ok {
		return invalid("kind", i.Kind, "use hydrometer, thermometer or balance")
	}
	if !(i.Add >= -most && i.Add <= most) {
		return invalid("add", trimmed(i.Add), "must be %s to %s: a larger error wants a new instrument", trimmed(-most), trimmed(most))
	}
	if !(i.SD > 0 && i.SD <= most) {
		return invalid("sd", trimmed(i.SD), "must be above 0 and at most %s: half of a division where nothing is stated", trimmed(most))
	}
	if i.From == 0 {
		return invalid("from", nil, "say the day of the certificate")
	}
	if i.Kind == HydrometerKind {
		return checkHydrometer(i)
	}
	i.Scale, i.BaseC = "", 0
	return CheckNote("note", i.Note)
}

func checkHydrometer(i *Instrument) error {
	if _, err := spirit.ParseScale(i.Scale); err != nil {
		return invalid("scale", i.Scale, "use vol, proof, density or sg")
	}
	if !(i.BaseC > 0 && i.BaseC <= spirit.WarmestLiquid) {
		return invalid("glass_c", trimmed(float64(i.BaseC)), "an instrument is made for 0 to 40 °C, as a rule 20 or 15.56")
	}
	return CheckNote("note", i.Note)
}
