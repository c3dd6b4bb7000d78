package loss

// Estimate is a reckoned value with its standard deviation and the bounds of
// the central 90 % interval.
type Estimate struct{ Mean, SD, Low, High float64 }

// State is what a vessel (or several) is reckoned to hold on a day, and how
// fast that is leaving.
type State struct {
	Code string
	At   float64 // days since 1970-01-01 UTC

	VolumeL      Estimate // litres at 20 °C
	StrengthPct  Estimate // % vol at 20 °C
	PureAlcoholL Estimate // litres of pure alcohol at 20 °C

	LossPctPerYear            Estimate // % of the volume, with the season averaged out and the indrink left out
	PureAlcoholLossPctPerYear Estimate // % of the pure alcohol, likewise
	DriftPctPerYear           Estimate // change of strength, % vol a year, likewise

	RateVsKind float64  // loss over what a vessel of its kind, size and place would lose; 1 is usual
	Samples    int      // gauges and samples since the last fill, up to the day
	LeakScore  float64  // the chance, 0 to 1, that it leaks
	Flags      []string // sorted; see the Flag constants
}

// What a State may be flagged with.
const (
	FlagEmpty         = "empty"            // nothing in it on that day
	FlagLeak          = "leak_suspected"   // more leaves than its wood lets through, at the liquid's own strength
	FlagUnrecorded    = "unrecorded_loss"  // the content dropped once and for all between two gauges
	FlagOutlier       = "outlier_reading"  // a reading that does not fit was set aside
	FlagPriorOnly     = "prior_only"       // no sample since the fill: its like speak for it
	FlagNoVolumeGauge = "no_volume_gauged" // samples of strength alone: the content rests on its like
)

// Quantity is what Reaches watches.
type Quantity uint8

// The quantities of a State that may be watched.
const (
	VolumeQuantity      Quantity = iota // litres at 20 °C
	StrengthQuantity                    // % vol
	PureAlcoholQuantity                 // litres of pure alcohol
)
