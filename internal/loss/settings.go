package loss

import "math"

// A setting is one number that the whole stock shares: how noisy its gauges
// are, how fast its casks breathe, how much they differ. Every setting has a
// normal prior; those that are positive by nature are kept as logarithms.
type setting struct {
	name     string
	mean, sd float64
	log      bool
}

// The settings that every stock has. Rates are by the year.
const (
	setStrengthSD     = iota // log: error of a strength, % vol
	setVolumeRel             // log: error of a volume, as a share of it
	setVolumeAbs             // log: error of a volume, litres, beside that
	setMassRel               // log: error of a weight, as a share of it
	setMassAbs               // log: error of a weight, kg, beside that
	setFillRel               // log: error of the volume of a fill, as a share
	setFillSD                // log: error of the strength of a fill, % vol
	setStatedStrength        // log: true over stated error of strengths, where it is stated
	setStatedVolume          // log: the same of volumes
	setStatedMass            // log: the same of weights
	setRateSD                // log: how far a vessel's rate wanders from its own mean, for years
	setRateWhite             // log: how much it flutters, in years^½
	setPullSD                // log: the same for the pull of the air on water
	setPullWhite             // log: the same
	setDryness               // power of the fill to which the rate goes
	setSoakYears             // log: years in which the indrink fades by e
	setSwap                  // kg of ethanol that used wood takes for water, by kg of indrink
	setSwapNew               // and that new wood takes
	setIdeal                 // how far the liquid is from ideal: 0 Raoult's law, 1 van Laar's
	setSeasonCos             // season of the log rate
	setSeasonSin             //
	setHumidCos              // season of the pull on water
	setHumidSin              //
	setPassing               // log: how easily water passes wood beside ethanol
	setScaleSD               // log: spread of the log rate among like vessels
	setDriveSD               // log: spread of the pull on water among like vessels
	setLean                  // atanh: correlation of the two
	setSoakSD                // log: spread of the log indrink
	setScaleCask             // log rate of each kind, kg/(m²·year)
	setScaleHybrid           //
	setScaleJar              //
	setScaleTank             //
	setScaleNew              // what new wood adds to the log rate
	setScaleSize             // change of the log rate by log of the capacity
	setPullSize              // change of what a vessel has of its own in its pull, by log of the capacity
	setDrive                 // pull on water beside the humidity that is known or usual
	setSoakUsed              // log indrink of used wood, kg/m²
	setSoakNew               // and of new wood
	setSoakJar               // and of the staves in a jar
	commonSettings
)

// The wood's rate at the usual temperature, kg/(m²·year): a 200 L cask then
// loses about 2 % of its spirit in a year.
const usualRate = 1.75

func commonPriors() []setting {
	ln := math.Log
	return []setting{
		setStrengthSD:     {"strength error", ln(0.15), 0.7, true},
		setVolumeRel:      {"volume error, relative", ln(0.003), 0.8, true},
		setVolumeAbs:      {"volume error, litres", ln(0.04), 1.0, true},
		setMassRel:        {"weight error, relative", ln(0.0007), 0.9, true},
		setMassAbs:        {"weight error, kg", ln(0.04), 1.0, true},
		setFillRel:        {"fill error, relative", ln(0.0025), 0.7, true},
		setFillSD:         {"fill strength error", ln(0.1), 0.7, true},
		setStatedStrength: {"true over stated error, strength", 0, 0.4, true},
		setStatedVolume:   {"true over stated error, volume", 0, 0.4, true},
		setStatedMass:     {"true over stated error, weight", 0, 0.4, true},
		setRateSD:         {"rate wander", ln(0.15), 0.7, true},
		setRateWhite:      {"rate flutter", ln(0.07), 0.7, true},
		setPullSD:         {"pull wander", ln(0.008), 1.1, true},
		setPullWhite:      {"pull flutter", ln(0.015), 1.1, true},
		setDryness:        {"dryness", 0.25, 0.3, false},
		setSoakYears:      {"indrink years", ln(50 / daysPerYear), 0.4, true},
		setSwap:           {"swap of used wood", 0.02, 0.05, false},
		setSwapNew:        {"swap of new wood", 0.04, 0.08, false},
		setIdeal:          {"ideality", 0.8, 0.4, false},
		setSeasonCos:      {"season of rate, cos", 0, 0.25, false},
		setSeasonSin:      {"season of rate, sin", 0, 0.25, false},
		setHumidCos:       {"season of pull, cos", 0, 0.04, false},
		setHumidSin:       {"season of pull, sin", 0, 0.04, false},
		setPassing:        {"passing of water", ln(2.5), 0.4, true},
		setScaleSD:        {"spread of rate", ln(0.25), 0.5, true},
		setDriveSD:        {"spread of pull", ln(0.04), 0.9, true},
		setLean:           {"lean", 0, 0.5, false},
		setSoakSD:         {"spread of indrink", ln(0.35), 0.4, true},
		setScaleCask:      {"rate of casks", ln(usualRate), 0.5, true},
		setScaleHybrid:    {"rate of hybrids", ln(usualRate), 0.6, true},
		setScaleJar:       {"rate of jars", ln(usualRate), 0.9, true},
		setScaleTank:      {"rate of tanks", ln(usualRate), 1.0, true},
		setScaleNew:       {"new wood", 0, 0.2, false},
		setScaleSize:      {"size", 0, 0.2, false},
		setPullSize:       {"size and own pull", 0.05, 0.2, false},
		setDrive:          {"pull", 0, 0.08, false},
		setSoakUsed:       {"indrink of used wood", ln(0.7), 0.6, true},
		setSoakNew:        {"indrink of new wood", ln(1.8), 0.6, true},
		setSoakJar:        {"indrink of jars", ln(0.5), 0.8, true},
	}
}

// hyper is a set of values of the settings, with what follows from them ready to use.
type hyper struct {
	at []float64

	strengthSD, fillRel, fillSD            float64
	volumeRel, volumeAbs                   float64
	massRel, massAbs                       float64
	rateVar, rateWhite, pullVar, pullWhite float64
	dryness, soakYears, ideal, passing     float64
	seasonCos, seasonSin                   float64
	humidCos, humidSin                     float64
	stated                                 [readsPerEvent]float64 // by quantity
	scaleVar, driveVar, cross, soakVar     float64
}

func newHyper(at []float64) *hyper {
	e := func(i int) float64 { return math.Exp(at[i]) }
	h := &hyper{
		at:         at,
		strengthSD: e(setStrengthSD), fillRel: e(setFillRel), fillSD: e(setFillSD),
		volumeRel: e(setVolumeRel), volumeAbs: e(setVolumeAbs),
		massRel: e(setMassRel), massAbs: e(setMassAbs),
		stated:  [...]float64{e(setStatedStrength), e(setStatedVolume), e(setStatedMass)},
		rateVar: square(e(setRateSD)), rateWhite: square(e(setRateWhite)),
		pullVar: square(e(setPullSD)), pullWhite: square(e(setPullWhite)),
		dryness: at[setDryness], soakYears: e(setSoakYears), ideal: at[setIdeal], passing: e(setPassing),
		seasonCos: at[setSeasonCos], seasonSin: at[setSeasonSin],
		humidCos: at[setHumidCos], humidSin: at[setHumidSin],
		scaleVar: square(e(setScaleSD)), driveVar: square(e(setDriveSD)), soakVar: square(e(setSoakSD)),
	}
	h.cross = math.Tanh(at[setLean]) * math.Sqrt(h.scaleVar*h.driveVar)
	return h
}

// traits are what decides which settings bear on a vessel.
type traits struct {
	scaleKind, soakKind int // indices of settings; soakKind -1: no wood
	isNew               float64
	size                float64 // log of the capacity over 50 L
	place               int     // index of the last place, -1: none
	wood                int     // index of the setting of its wood, -1: none
}

// expected returns the prior means of the log rate, the pull and the log
// indrink, of a vessel in a usual place.
func (h *hyper) expected(t *traits) (scale, drive, soak float64) {
	scale = h.at[t.scaleKind] + t.isNew*h.at[setScaleNew] + t.size*h.at[setScaleSize]
	drive = h.at[setDrive]
	if t.wood >= 0 {
		scale += h.at[t.wood]
	}
	if t.soakKind >= 0 {
		soak = h.at[t.soakKind]
	}
	return scale, drive, soak
}

// swap is how much more ethanol the wood drinks than its share, and less water.
func (h *hyper) swap(t *traits) float64 {
	if t.isNew > 0 {
		return h.at[setSwapNew]
	}
	return h.at[setSwap]
}

// bears says whether a setting has a part in a vessel's reckoning.
func (h *history) bears(set int) bool {
	t := &h.traits
	switch {
	case set == setVolumeRel || set == setVolumeAbs:
		return h.reads[readVolume]
	case set == setMassRel || set == setMassAbs:
		return h.reads[readMass]
	case set >= setStatedStrength && set <= setStatedMass:
		return h.stated[set-setStatedStrength]
	case set == t.wood:
		return true
	case set >= commonSettings:
		return h.stands((set - commonSettings) / settingsOfAPlace)
	case set >= setScaleCask && set <= setScaleTank:
		return set == t.scaleKind
	case set >= setSoakUsed && set <= setSoakJar:
		return set == t.soakKind
	case set == setScaleNew:
		return t.isNew > 0
	case set == setSwap:
		return t.soakKind >= 0 && t.isNew == 0
	case set == setSwapNew:
		return t.isNew > 0
	case set == setSoakYears || set == setSoakSD:
		return t.soakKind >= 0
	}
	return true
}
