package book

import (
	"math"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
	"example.org/croze/internal/sensory"
)

// Comparison holds vessels against the first of them, day in wood by day in wood.
type Comparison struct {
	Vessels []ComparedVessel
	Days    []int // in wood, the same for all
	Words   []string
	Tasted  string // why scores are not compared, if they are not
}

// ComparedVessel is one of them.
type ComparedVessel struct {
	Code     string
	Vessel   cellar.Vessel
	FilledOn cellar.Day
	AgeDays  int
	At       []ComparedDay // by Days
	Colours  []SeenColour
	Scores   map[string]sensory.Mean
	Loss     loss.Estimate // % of the content a year, now
	Gap      Gaps
}

// ComparedDay is a vessel so many days after its filling.
type ComparedDay struct {
	Known    bool
	Strength loss.Estimate // % vol
	LostPct  loss.Estimate // of the pure alcohol of the filling, what was drawn or added left out of the sum
	Contact  float64       // cm² of wood a litre; 0: not known
	Summed   float64       // cm²·years a litre since the filling
}

// SeenColour is a colour as somebody wrote it.
type SeenColour struct {
	Days   int
	Colour string
}

// Gaps are differences to the first vessel at the last day that both have seen,
// with the bounds of the central 90 %.
type Gaps struct {
	Strength, Loss loss.Estimate
	Scores         map[string]loss.Estimate
}

const compareStep = 90 // days in wood between the lines of a comparison

// Compare aligns vessels by the days that their present filling has been in
// them. Each must hold something.
func (v *View) Compare(codes []string) (Comparison, error) {
	var c Comparison
	for _, code := range codes {
		line := v.StockLine(code)
		if line.Empty() {
			return c, &cellar.Problem{Kind: cellar.Refused, Field: "vessels", Value: code, Reason: "it is empty: there is nothing to compare"}
		}
		filled, _ := cellar.ParseDay(line.FilledOn)
		c.Vessels = append(c.Vessels, ComparedVessel{
			Code: code, Vessel: v.State.Vessels[code].Vessel, FilledOn: filled, AgeDays: int(v.On - filled), Loss: line.State.LossPctPerYear,
		})
	}
	c.Days = commonDays(c.Vessels)
	for i := range c.Vessels {
		one := &c.Vessels[i]
		one.At = v.comparedDays(one, c.Days)
		one.Colours = v.coloursOf(one.Code, one.FilledOn)
	}
	v.compareScores(&c)
	for i := range c.Vessels {
		c.Vessels[i].Gap = gapsTo(&c.Vessels[0], &c.Vessels[i], c.Days)
	}
	return c, nil
}

// commonDays steps from the filling to the age of the youngest.
func commonDays(vessels []ComparedVessel) []int {
	youngest := vessels[0].AgeDays
	for _, one := range vessels {
		youngest = min(youngest, one.AgeDays)
	}
	step := compareStep
	for youngest/step > 16 {
		step *= 2
	}
	var days []int
	for d := step; d < youngest; d += step {
		days = append(days, d)
	}
	if youngest > 0 {
		days = append(days, youngest)
	}
	return days
}

// comparedDays reads the estimator's path. What is lost is counted from the
// yearly rates, so that draws and top-ups are not taken for losses.
func (v *View) comparedDays(one *ComparedVessel, days []int) []ComparedDay {
	area := 1e4 * woodArea(v.State.Vessels[one.Code].Vessel) // cm²
	out := make([]ComparedDay, len(days))
	lost, sdLost, summed, before := 0.0, 0.0, 0.0, 0
	for i, d := range days {
		state, known := v.Model.State(one.Code, dayNumber(one.FilledOn.Time())+float64(d))
		if !known || state.VolumeL.Mean <= 0 {
			continue
		}
		years := float64(d-before) / daysPerYear
		lost += years * state.PureAlcoholLossPctPerYear.Mean
		sdLost += years * state.PureAlcoholLossPctPerYear.SD // a rate's error leans one way all the time
		out[i] = ComparedDay{Known: true, Strength: state.StrengthPct, LostPct: normal(lost, sdLost)}
		if area > 0 {
			out[i].Contact = area / state.VolumeL.Mean
			summed += years * out[i].Contact
			out[i].Summed = summed
		}
		before = d
	}
	return out
}

// z90 bounds the central 90 % of a normal distribution.
const z90 = 1.6448536269514722

func normal(mean, sd float64) loss.Estimate {
	return loss.Estimate{Mean: mean, SD: sd, Low: mean - z90*sd, High: mean + z90*sd}
}

func (v *View) coloursOf(code string, filled cellar.Day) []SeenColour {
	var seen []SeenColour
	for _, e := range v.State.Vessels[code].Events {
		if e.Filled {
			seen = nil
		}
		if s, ok := e.Entry.Fact.(*cellar.Sample); ok && s.Senses != nil && s.Senses.Colour != "" {
			seen = append(seen, SeenColour{int(e.Entry.Day() - filled), s.Senses.Colour})
		}
	}
	return seen
}

// compareScores works the scores of every word out as the average taster would give them.
func (v *View) compareScores(c *Comparison) {
	opinions := make(map[string][]sensory.Opinion)
	for i := range c.Vessels {
		c.Vessels[i].Scores = make(map[string]sensory.Mean)
		for word, given := range v.opinionsOf(c.Vessels[i].Code) {
			opinions[word] = append(opinions[word], given...)
		}
	}
	for word, given := range opinions {
		means, err := sensory.Means(given)
		if err != nil {
			c.Tasted = "the vessels have no taster in common, so their scores cannot be compared"
			continue
		}
		c.Words = append(c.Words, word)
		for _, m := range means {
			i := slices.IndexFunc(c.Vessels, func(one ComparedVessel) bool { return one.Code == m.Sample })
			c.Vessels[i].Scores[word] = m
		}
	}
	slices.Sort(c.Words)
}

// opinionsOf are the scores given to a vessel's present filling, by word. Who
// wrote a sample down is its taster unless another is named.
func (v *View) opinionsOf(code string) map[string][]sensory.Opinion {
	given := make(map[string][]sensory.Opinion)
	for _, e := range v.State.Vessels[code].Events {
		if e.Filled {
			clear(given)
		}
		s, ok := e.Entry.Fact.(*cellar.Sample)
		if !ok || s.Senses == nil {
			continue
		}
		taster := s.Senses.Taster
		if taster == "" {
			taster = e.Entry.Who
		}
		for word, score := range s.Senses.Scores {
			given[word] = append(given[word], sensory.Opinion{Taster: taster, Sample: code, Score: float64(score)})
		}
	}
	return given
}

// gapsTo takes the errors of two vessels for independent, which is on the wide
// side: what they share in their errors cancels.
func gapsTo(first, one *ComparedVessel, days []int) Gaps {
	g := Gaps{Scores: make(map[string]loss.Estimate), Loss: difference(one.Loss, first.Loss)}
	for i := range slices.Backward(days) {
		if a, b := one.At[i], first.At[i]; a.Known && b.Known {
			g.Strength = difference(a.Strength, b.Strength)
			break
		}
	}
	for word, m := range one.Scores {
		if o, both := first.Scores[word]; both && m.SD > 0 && o.SD > 0 {
			g.Scores[word] = normal(m.Score-o.Score, math.Hypot(m.SD, o.SD))
		}
	}
	return g
}

func difference(a, b loss.Estimate) loss.Estimate {
	return normal(a.Mean-b.Mean, math.Hypot(a.SD, b.SD))
}

// woodArea is what the spirit touches, m²: measured, or for a cask nobody
// measured that of a 200 L one, 1.9 m², by its size. Of staves and heads that
// nobody measured it is not known, and 0.
func woodArea(v cellar.Vessel) float64 {
	if area := v.WoodArea(); area > 0 || v.Kind != cellar.Cask {
		return area
	}
	return 1.9 * math.Pow(float64(v.CapacityL)/200, 2.0/3)
}

// ContactOf is a vessel's wood contact: cm² of wood a litre now, and summed over
// the years of its present filling. False where the area or content is not known.
func (v *View) ContactOf(code string) (now, summed float64, known bool) {
	type contact struct{ now, summed float64 }
	c := remember(v, code, "contact", func() contact {
		area := 1e4 * woodArea(v.State.Vessels[code].Vessel)
		line := v.StockLine(code)
		if area <= 0 || line.Empty() || line.VolumeL <= 0 {
			return contact{}
		}
		sum, before := 0.0, cellar.Day(0)
		for _, p := range v.Path(code, 30) {
			if before != 0 && p.State.VolumeL.Mean > 0 {
				sum += float64(p.Day-before) / daysPerYear * area / p.State.VolumeL.Mean
			}
			before = p.Day
		}
		if before != 0 && before < v.On {
			sum += float64(v.On-before) / daysPerYear * area / line.VolumeL
		}
		return contact{area / line.VolumeL, sum}
	})
	return c.now, c.summed, c.now > 0
}

// LastColours are the two colours seen last.
func (c ComparedVessel) LastColours() []SeenColour { return c.Colours[max(0, len(c.Colours)-2):] }
