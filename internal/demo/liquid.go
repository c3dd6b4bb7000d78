package demo

import (
	"math"

	"example.org/croze/internal/spirit"
)

// liquid is what is truly there: kilograms of ethanol and of water.
type liquid struct{ ethanol, water float64 }

// litresOf returns so many litres at 20 °C of a strength in % vol.
func litresOf(litres, strength float64) liquid {
	a, err := spirit.AmountOf(spirit.Litres(litres), spirit.Strength(strength))
	if err != nil {
		return liquid{}
	}
	return liquid{float64(a.Ethanol()), float64(a.Water())}
}

func (l liquid) amount() spirit.Amount {
	return spirit.Amount{EthanolMg: int64(math.Round(l.ethanol * 1e6)), WaterMg: int64(math.Round(l.water * 1e6))}
}

func (l liquid) mass() float64     { return l.ethanol + l.water }
func (l liquid) volume() float64   { return float64(l.amount().Volume()) }
func (l liquid) strength() float64 { return float64(l.amount().Strength()) }

func (l liquid) times(f float64) liquid { return liquid{f * l.ethanol, f * l.water} }
func (l liquid) plus(more liquid) liquid {
	return liquid{l.ethanol + more.ethanol, l.water + more.water}
}
func (l liquid) less(taken liquid) liquid   { return l.plus(taken.times(-1)) }
func (l liquid) part(litres float64) liquid { return l.times(litres / l.volume()) }

// activities returns how hard ethanol and water press to leave the liquid, each
// as a share of what it would do alone, by Margules' two-constant formula. The
// constants are round figures near those of handbooks, from memory; the story
// does not need better.
func (l liquid) activities() (ethanol, water float64) {
	const (
		constantEthanol, constantWater = 1.6, 0.8
		molarEthanol, molarWater       = 46.07, 18.015 // g/mol
	)
	e, w := l.ethanol/molarEthanol, l.water/molarWater
	x, y := e/(e+w), w/(e+w)
	ethanol = x * math.Exp(y*y*(constantEthanol+2*(constantWater-constantEthanol)*x))
	water = y * math.Exp(x*x*(constantWater+2*(constantEthanol-constantWater)*y))
	return ethanol, water
}
