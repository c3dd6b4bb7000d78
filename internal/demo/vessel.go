package demo

import (
	"math"
	"math/rand/v2"

	"example.org/croze/internal/cellar"
)

// habit is how the keeper looks into a vessel.
type habit uint8

const (
	weighs habit = iota // corrected strength, and the whole on the balance
	dips                // alcoholometer as read, with the temperature, and a dip
	tastes              // corrected strength alone
	reads               // alcoholometer as read, alone
	minds               // strength as a rule, the content every third time
	proofs              // the old US hydrometer as read, made for 60 °F
	dries               // alcoholometer as read, and the solids that hide strength
)

// vessel is a vessel with what is truly in it.
type vessel struct {
	cellar.Vessel
	key    string
	place  string // where it stands now
	habit  habit
	months int // between samples

	in       liquid
	area     float64 // of wood that spirit can leave by, m²
	passes   float64 // what this vessel's wood lets through, 1 is usual
	soakMost float64 // kg that its wood can take up
	soaked   float64 // kg in the wood now
	leakFrom int     // days before today on which it began to leak; 0: it does not
	ago      int     // days before today, as it rests

	lastLook int // days before today of the last sample or fill
	looks    int // since the fill
}

func (v *vessel) empty() bool { return v.in.mass() == 0 }

// What a square metre of usual wood lets through in a year at 13 °C, kg, where
// the liquid inside is ethanol (or water) alone and the air outside has none.
const (
	ethanolThrough = 1.7
	waterThrough   = 3.6
	warmthFactor   = 0.055 // per °C
	usualWarmth    = 13    // °C
	soakDays       = 22.0
	dryDays        = 90.0
	leakAtFirst    = 0.018 // L a day
	leakGrows      = 0.0001
)

// rest lets a day pass over the vessel.
func (v *vessel) rest(a air) {
	v.ago--
	if v.empty() {
		v.soaked *= math.Exp(-1 / dryDays)
		return
	}
	soak := (v.soakMost - v.soaked) * (1 - math.Exp(-1/soakDays))
	v.soaked += soak
	v.in = v.in.times(1 - soak/v.in.mass())
	aE, aW := v.in.activities()
	wetted := 0.3 + 0.7*min(1, v.in.volume()/float64(v.CapacityL))
	through := v.area * v.passes * wetted * math.Exp(warmthFactor*(a.tempC-usualWarmth)) / 365.25
	v.in.ethanol -= through * ethanolThrough * aE
	v.in.water -= through * waterThrough * (aW - a.humidity)
	if v.leakFrom > 0 && v.ago < v.leakFrom {
		v.in = v.in.less(v.in.part(leakAtFirst + leakGrows*float64(v.leakFrom-v.ago)))
	}
}

// build gives a registered vessel its wood: what it lets through, and what it soaks up.
func (v *vessel) build(lots *rand.Rand) {
	size := float64(v.CapacityL)
	thin := math.Pow(200/size, 0.1) // small casks have thinner staves
	newness := 0.35
	if v.WoodState == cellar.NewWood {
		newness = 1
	}
	v.passes = 1
	switch v.Kind {
	case cellar.Cask:
		v.area = 1.9 * math.Pow(size/200, 2.0/3)
		v.passes = thin * woodPasses[v.Wood]
		v.soakMost = newness * 0.026 * size * math.Cbrt(200/size)
	case cellar.Hybrid:
		v.area = 0.09 * math.Pow(size/50, 2.0/3)
		v.passes = thin * woodPasses[v.Wood]
		v.soakMost = newness * 0.004 * size
	case cellar.Jar:
		v.area = 0.004 * math.Sqrt(size/10) // its bung
		v.soakMost = newness * 0.012 * size
	case cellar.Tank:
		v.area = 0.006
	}
	v.passes *= math.Exp(0.22 * lots.NormFloat64())
}

// woodPasses is how freely each wood lets spirit through, against oak.
var woodPasses = map[string]float64{"oak": 1, "chestnut": 1.25, "acacia": 1.08, "apple wood": 1.4}
