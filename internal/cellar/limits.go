package cellar

// What the book takes, written down in one place.
const (
	LongestName      = 60      // code, batch, place, wood, yeast, lot: characters
	LongestNote      = 2000    // characters
	MostGrains       = 20      // in a batch
	MostParts        = 48      // in one vessel; beyond it the smallest of a batch are joined, to the younger age
	MostDraws        = 200     // in one blend
	MostBottleSizes  = 20      // in one bottling
	MostScores       = 50      // of one tasting
	MostStops        = 200     // in one round
	MostInTrial      = 12      // vessels side by side
	LongestPlan      = 500_000 // bytes of a plan file that is kept
	LargestCost      = 1_000_000_000
	LongestRhythm    = 3660    // days between two looks
	MostImportRows   = 200_000 // in one file
	LeastVolumeL     = 0.001   // of a content or a measure
	LargestVolumeL   = 1_000_000
	LargestMassKg    = 1_000_000
	EarliestYear     = 1900
	LatestYear       = 2200 // of an aim, or asked about
	OverfillFraction = 0.02 // a vessel holds at most this much over its capacity
	FutureMinutes    = 10   // a phone's clock may run ahead by so much
)

// How far a movement may go beyond the books before it is refused.
const (
	volumeSlackFraction  = 0.001 // reading of a measure
	volumeSlackL         = 0.002
	ethanolSlackFraction = 0.03 // strength read too high by a little
)
