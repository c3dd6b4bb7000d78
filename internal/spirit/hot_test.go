package spirit

import "testing"

// hot are the calls that a projection or an estimator makes in its loops.
var hot = map[string]func(){
	"DensityOf":               func() { sinkDensity, _ = DensityOf(0.53, 13) },
	"MassFractionOf":          func() { sinkFraction, _ = MassFractionOf(915, 13) },
	"Strength.MassFraction":   func() { sinkFraction, _ = Strength(61.3).MassFraction() },
	"MassFraction.Strength":   func() { sinkStrength, _ = MassFraction(0.53).Strength() },
	"Strength.Proof":          func() { sinkProof, _ = Strength(61.3).Proof() },
	"Proof.Strength":          func() { sinkStrength, _ = Proof(120).Strength() },
	"Strength.DensityAt":      func() { sinkDensity, _ = Strength(61.3).DensityAt(13) },
	"GravityInAir":            func() { sinkFloat, _ = GravityInAir(0.53, 13, 20) },
	"MassFractionOfGravity":   func() { sinkFraction, _ = MassFractionOfGravity(0.92, 13, 20) },
	"AmountOf":                func() { sinkAmount, _ = AmountOf(18.2, 61.3) },
	"AmountAt":                func() { sinkAmount, _ = AmountAt(18.2, 13, 61.3) },
	"Amount.Volume":           func() { sinkLitres = oneAmount.Volume() },
	"Amount.VolumeAt":         func() { sinkLitres, _ = oneAmount.VolumeAt(13) },
	"Amount.Strength":         func() { sinkStrength = oneAmount.Strength() },
	"Amount.ProofGallons":     func() { sinkFloat = float64(oneAmount.ProofGallons()) },
	"Amount.Weighed":          func() { sinkFloat = float64(oneAmount.Weighed()) },
	"MassOfWeighed":           func() { sinkKilograms, _ = MassOfWeighed(17, 912) },
	"Reduce":                  func() { sinkReduction, _ = Reduce(18.2, 61.3, 46) },
	"Mix":                     func() { sinkMixture, _ = Mix(oneAmount, oneAmount, oneAmount) },
	"VolumeFrom":              func() { sinkLitres, _ = VolumeFrom(18.2, 61.3, 13, 20) },
	"HeadSpace":               func() { sinkFloat, _ = HeadSpace(61.3, 13, 40) },
	"Hydrometer.True vol":     func() { sinkFraction, _ = Hydrometer{ScaleStrength, 20}.True(61.3, 13) },
	"Hydrometer.True proof":   func() { sinkFraction, _ = Hydrometer{ScaleProof, ProofBase}.True(122, 13) },
	"Hydrometer.True density": func() { sinkFraction, _ = Hydrometer{ScaleDensity, 20}.True(915, 13) },
	"Hydrometer.True sg":      func() { sinkFraction, _ = Hydrometer{ScaleGravity, 20}.True(0.917, 13) },
	"Hydrometer.Reading":      func() { sinkFloat, _ = Hydrometer{ScaleStrength, 20}.Reading(0.53, 13) },
	"Hydrometer.Strength": func() {
		h := Hydrometer{ScaleStrength, 20}
		sinkStrength, _, _ = h.Strength(h.Observed(61.3, 13))
	},
	"CorrectForResidue": func() { sinkStrength, _ = CorrectForResidue(61.3, 0.2) },
	"FlashPoint":        func() { sinkCelsius, _ = FlashPoint(61.3) },
}

// Sinks keep the compiler from leaving the calls out.
var (
	oneAmount     = Amount{EthanolMg: 8_800_000, WaterMg: 7_800_000}
	sinkDensity   Density
	sinkFraction  MassFraction
	sinkStrength  Strength
	sinkProof     Proof
	sinkAmount    Amount
	sinkLitres    Litres
	sinkKilograms Kilograms
	sinkReduction Reduction
	sinkMixture   Mixture
	sinkCelsius   Celsius
	sinkFloat     float64
)

func TestNothingAllocates(t *testing.T) {
	for name, call := range hot {
		if n := testing.AllocsPerRun(100, call); n != 0 {
			t.Errorf("%s allocates %v times", name, n)
		}
	}
}

// The calls above whose speed is promised are also swept over their ranges:
// a single point would flatter the inverse.
func BenchmarkHot(b *testing.B) {
	for name, call := range hot {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				call()
			}
		})
	}
}

func BenchmarkDensitySweep(b *testing.B) {
	i := 0
	for b.Loop() {
		sinkDensity, _ = DensityOf(MassFraction(i%1001)/1000, Celsius(i%61)-20)
		i++
	}
}

func BenchmarkInverseSweep(b *testing.B) {
	const steps = 1001 * 61
	densities := make([]Density, steps)
	for i := range densities {
		densities[i], _ = DensityOf(MassFraction(i%1001)/1000, Celsius(i%61)-20)
	}
	i := 0
	for b.Loop() {
		sinkFraction, _ = MassFractionOf(densities[i%steps], Celsius(i%61)-20)
		i++
	}
}

func BenchmarkStrengthInverseSweep(b *testing.B) {
	i := 0
	for b.Loop() {
		sinkFraction, _ = Strength(float64(i%1001) / 10).MassFraction()
		i++
	}
}
