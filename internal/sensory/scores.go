package sensory

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Opinion is one taster's score of one sample for one word ("fruit", 0 to 10,
// say). A taster may score a sample more than once.
type Opinion struct {
	Taster string
	Sample string
	Score  float64
}

// Mean is a sample's score as the average taster would give it.
type Mean struct {
	Sample string
	Score  float64
	SD     float64 // standard error of Score; 0 when too few opinions tell it
	Low    float64 // bounds of the central 90 %; equal to Score when SD is 0
	High   float64
	Count  int // opinions of this sample
}

// MostOpinions bounds one fit.
const MostOpinions = 20_000

// mostNames bounds the number of samples and tasters together.
const mostNames = 400

// Means works out the score of each sample when some tasters give more than
// others and not everybody tasted everything: score = sample + taster, the
// tasters adding up to nothing, by least squares. With everybody tasting
// everything it is the plain mean. It fails when two groups of samples have no
// taster in common, for then nothing compares them. Sorted by sample.
func Means(opinions []Opinion) ([]Mean, error) {
	samples, tasters, err := checkOpinions(opinions)
	if err != nil {
		return nil, err
	}
	normal, right := normalEquations(opinions, samples, tasters)
	var factor mat.Cholesky
	if !factor.Factorize(constrained(normal, len(samples))) {
		return nil, fmt.Errorf("scores: some samples share no taster, directly or through others, with the rest: compare them apart")
	}
	var effects mat.VecDense
	if err := factor.SolveVecTo(&effects, right); err != nil {
		return nil, fmt.Errorf("scores: %w", err)
	}
	freedom := len(opinions) - len(samples) - len(tasters) + 1
	variance := residual(opinions, samples, tasters, &effects) / float64(max(freedom, 1))
	spread, err := effectSpread(&factor, normal)
	if err != nil {
		return nil, err
	}
	means := make([]Mean, len(samples))
	for i, sample := range samples {
		means[i] = Mean{Sample: sample, Score: effects.AtVec(i), Count: int(normal.At(i, i))}
		if freedom > 0 {
			means[i].SD = math.Sqrt(max(0, variance*spread.At(i, i)))
		}
		half := means[i].SD * studentsFactor(freedom)
		means[i].Low, means[i].High = means[i].Score-half, means[i].Score+half
	}
	return means, nil
}

func checkOpinions(opinions []Opinion) (samples, tasters []string, err error) {
	if len(opinions) == 0 || len(opinions) > MostOpinions {
		return nil, nil, fmt.Errorf("scores: %d of them: must be 1 to %d", len(opinions), MostOpinions)
	}
	for _, o := range opinions {
		if math.IsNaN(o.Score) || math.IsInf(o.Score, 0) {
			return nil, nil, fmt.Errorf("scores: %v, by %s of %s: is not a number", o.Score, o.Taster, o.Sample)
		}
		samples, tasters = append(samples, o.Sample), append(tasters, o.Taster)
	}
	samples, tasters = distinct(samples), distinct(tasters)
	if len(samples)+len(tasters) > mostNames {
		return nil, nil, fmt.Errorf("scores: %d samples and %d tasters: at most %d together: take fewer", len(samples), len(tasters), mostNames)
	}
	return samples, tasters, nil
}

func distinct(names []string) []string {
	slices.Sort(names)
	return slices.Compact(names)
}

// normalEquations are X'X and X'y; the samples come first, then the tasters.
func normalEquations(opinions []Opinion, samples, tasters []string) (*mat.SymDense, *mat.VecDense) {
	size := len(samples) + len(tasters)
	normal, right := mat.NewSymDense(size, nil), mat.NewVecDense(size, nil)
	for _, o := range opinions {
		i, j := columns(o, samples, tasters)
		normal.SetSym(i, i, normal.At(i, i)+1)
		normal.SetSym(j, j, normal.At(j, j)+1)
		normal.SetSym(i, j, normal.At(i, j)+1)
		right.SetVec(i, right.AtVec(i)+o.Score)
		right.SetVec(j, right.AtVec(j)+o.Score)
	}
	return normal, right
}

func columns(o Opinion, samples, tasters []string) (sample, taster int) {
	sample, _ = slices.BinarySearch(samples, o.Sample)
	taster, _ = slices.BinarySearch(tasters, o.Taster)
	return sample, len(samples) + taster
}

// constrained adds the demand that the tasters add up to nothing, which fixes
// the one thing that the opinions leave open.
func constrained(normal *mat.SymDense, samples int) *mat.SymDense {
	size := normal.SymmetricDim()
	with := mat.NewSymDense(size, nil)
	for i := range size {
		for j := i; j < size; j++ {
			with.SetSym(i, j, normal.At(i, j)+indicator(i >= samples))
		}
	}
	return with
}

func residual(opinions []Opinion, samples, tasters []string, effects *mat.VecDense) float64 {
	sum := 0.0
	for _, o := range opinions {
		i, j := columns(o, samples, tasters)
		d := o.Score - effects.AtVec(i) - effects.AtVec(j)
		sum += d * d
	}
	return sum
}

// effectSpread is the covariance of the effects over the variance of a score:
// M X'X M, with M the inverse of the constrained matrix.
func effectSpread(factor *mat.Cholesky, normal *mat.SymDense) (*mat.Dense, error) {
	var inverse mat.SymDense
	if err := factor.InverseTo(&inverse); err != nil {
		return nil, fmt.Errorf("scores: %w", err)
	}
	var half, spread mat.Dense
	half.Mul(&inverse, normal)
	spread.Mul(&half, &inverse)
	return &spread, nil
}

// studentsFactor is how many standard errors bound the central 90 %.
func studentsFactor(freedom int) float64 {
	if freedom < 1 {
		return 0
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(freedom)}.Quantile(0.95)
}
