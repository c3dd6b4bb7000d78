package loss

import (
	"fmt"
	"math"
	"math/rand/v2"

	"example.org/croze/internal/spirit"
)

// The stores here are made by rules that are not the estimator's own, so that
// it is tried on truth that it does not know the form of.

// world is a way in which spirit is lost.
type world struct {
	name string
	// age lets a cask live for some days from a day on; it changes ethanol and water.
	age func(c *simCask, day, days float64, r *rand.Rand)
	// born gives a new cask its own ways.
	born func(c *simCask, r *rand.Rand)
}

// simCask is a cask whose truth is known.
type simCask struct {
	vessel         Vessel
	ethanol, water float64 // kg
	capacity, area float64
	kE, kW, humid  float64     // of worlds with a mechanism
	swing          float64     // of the season where it stands, 1 as usual
	loss, drift    float64     // of worlds without
	years          [30]float64 // luck of each year
	years2         [30]float64
	weekly         float64
	soakLeft       float64 // kg still to be drunk
	soakDays       float64
	swap           float64
	leak           float64 // share a year
	leakFrom       float64
	gauge          string // "dip", "weight", "strength"
	dipSD, weighSD float64
	samples        int // so far
	firstDay       float64
	seen           simPoint   // truth 400 days after the fill
	points         []simPoint // without slips, with what was drawn put back
	raw            []simPoint // as written down
	drawn          float64    // litres so far
}

// simPoint is what a straight line is drawn through: volume with what was drawn put back.
type simPoint struct{ day, volume, strength float64 }

func (c *simCask) amount() spirit.Amount {
	return spirit.Amount{EthanolMg: int64(math.Round(c.ethanol * 1e6)), WaterMg: int64(math.Round(c.water * 1e6))}
}

func (c *simCask) volume() float64   { return float64(c.amount().Volume()) }
func (c *simCask) strength() float64 { return float64(c.amount().Strength()) }

// live lets days pass, in steps of five.
func (c *simCask) live(w *world, from, to float64, r *rand.Rand) {
	for day := from; day < to; day += 5 {
		days := math.Min(5, to-day)
		w.age(c, day, days, r)
		if c.soakLeft > 0 {
			drink := c.soakLeft * (1 - math.Exp(-days/c.soakDays))
			p := c.ethanol / (c.ethanol + c.water)
			c.soakLeft -= drink
			c.ethanol -= drink * (p + c.swap)
			c.water -= drink * (1 - p - c.swap)
		}
		if c.leak > 0 && day >= c.leakFrom {
			keep := math.Exp(-c.leak * days / daysPerYear)
			c.ethanol, c.water = c.ethanol*keep, c.water*keep
		}
	}
}

func molarShare(ethanol, water float64) float64 {
	n1, n2 := ethanol/46.07, water/18.02
	return n1 / (n1 + n2)
}

func season(day, peak float64) float64 { return math.Cos(2 * math.Pi * (day - peak) / 365.25) }

// arrhenius is a rate at °C over that at 15 °C.
func arrhenius(tempC, joules float64) float64 {
	return math.Exp(-joules / 8.314 * (1/(tempC+273.15) - 1/288.15))
}

// seasonalWorld: Margules activities, a store that is warm and dry in summer,
// rates that flutter by the week and differ by the year.
func seasonalWorld() *world {
	return &world{name: "seasonal",
		born: func(c *simCask, r *rand.Rand) {
			both := math.Exp(0.25 * r.NormFloat64())
			c.kE = 1.7 * both * math.Exp(0.08*r.NormFloat64())
			c.kW = 4.6 * both * math.Exp(0.08*r.NormFloat64())
			c.humid = 0.68 + 0.01*r.NormFloat64()
			c.fillYears(r, 0.10, 0)
		},
		age: func(c *simCask, day, days float64, r *rand.Rand) {
			x := molarShare(c.ethanol, c.water)
			aE := x * math.Exp((1-x)*(1-x)*(1.45+2*(0.85-1.45)*x))
			aW := (1 - x) * math.Exp(x*x*(0.85+2*(1.45-0.85)*(1-x)))
			temp := 13 + 7*c.swing*season(day, 205)
			humid := c.humid - 0.08*c.swing*season(day, 190)
			c.weekly = 0.8*c.weekly + 0.15*r.NormFloat64()
			rate := arrhenius(temp, 50000) * math.Exp(c.weekly+c.year(day)) * c.area * days / 365.25
			wet := 0.35 + 0.65*c.volume()/c.capacity
			c.ethanol -= c.kE * rate * wet * aE
			c.water -= c.kW * rate * wet * (aW - humid)
		}}
}

// idealWorld: Raoult's law, a steady damp cellar, losses that fall with the
// root of the wall's thickness and vary by the year.
func idealWorld() *world {
	return &world{name: "ideal",
		born: func(c *simCask, r *rand.Rand) {
			thin := math.Pow(c.capacity/200, -0.12)
			both := math.Exp(0.2 * r.NormFloat64())
			c.kE = 3.4 * thin * both * math.Exp(0.08*r.NormFloat64())
			c.kW = 7 * thin * both * math.Exp(0.12*r.NormFloat64())
			c.humid = 0.60 + 0.01*r.NormFloat64()
			c.fillYears(r, 0.15, 0)
		},
		age: func(c *simCask, day, days float64, r *rand.Rand) {
			x := molarShare(c.ethanol, c.water)
			rate := math.Exp(c.year(day)) * c.area * days / 365.25
			c.ethanol -= c.kE * rate * x
			c.water -= c.kW * rate * (1 - x - c.humid)
		}}
}

// humidWorld: a two-suffix activity, so damp that strength falls, with wood
// that slows as it ages.
func humidWorld() *world {
	return &world{name: "humid",
		born: func(c *simCask, r *rand.Rand) {
			both := math.Exp(0.3 * r.NormFloat64())
			c.kE = 2.2 * both * math.Exp(0.12*r.NormFloat64())
			c.kW = 5 * both * math.Exp(0.12*r.NormFloat64())
			c.humid = 0.80 + 0.01*r.NormFloat64()
			c.firstDay = math.NaN()
			c.fillYears(r, 0.08, 0)
		},
		age: func(c *simCask, day, days float64, r *rand.Rand) {
			if math.IsNaN(c.firstDay) {
				c.firstDay = day
			}
			x := molarShare(c.ethanol, c.water)
			aE, aW := x*math.Exp(1.3*(1-x)*(1-x)), (1-x)*math.Exp(1.3*x*x)
			slow := 1 / (1 + 0.04*(day-c.firstDay)/365.25)
			rate := slow * arrhenius(11+4*c.swing*season(day, 210), 35000) * math.Exp(c.year(day)) * c.area * days / 365.25
			wet := math.Pow(c.volume()/c.capacity, 0.7)
			c.ethanol -= c.kE * rate * wet * aE
			c.water -= c.kW * rate * wet * (aW - c.humid)
		}}
}

// randomWorld: no mechanism at all. Each cask loses a share of its volume and
// drifts in strength as chance has it, differently each year.
func randomWorld() *world {
	return &world{name: "random",
		born: func(c *simCask, r *rand.Rand) {
			c.loss = 0.028 * math.Pow(c.capacity/100, -0.3) * math.Exp(0.4*r.NormFloat64())
			c.drift = 0.1 + 0.3*r.NormFloat64()
			c.fillYears(r, 0.25, 0.2)
		},
		age: func(c *simCask, day, days float64, r *rand.Rand) {
			v, q := c.volume(), c.strength()
			v *= 1 - c.loss*math.Exp(c.year(day))*days/365.25
			q += (c.drift + c.years2[yearOf(day)]) * days / 365.25
			a, _ := spirit.AmountOf(spirit.Litres(v), spirit.Strength(q))
			c.ethanol, c.water = float64(a.Ethanol()), float64(a.Water())
		}}
}

func yearOf(day float64) int { return min(29, max(0, int(day/365.25)-40)) }

func (c *simCask) year(day float64) float64 { return c.years[yearOf(day)] }

func (c *simCask) fillYears(r *rand.Rand, sd, sd2 float64) {
	for i := range c.years {
		c.years[i] = sd * r.NormFloat64()
		c.years2[i] = sd2 * r.NormFloat64()
	}
}

// plan says what a store is like.
type plan struct {
	world      *world
	casks      int
	sizes      []float64
	years      float64 // of history
	samples    int     // a cask has up to so many
	least      int
	draws      float64 // chance at a sample
	slips      float64 // chance of a misreading
	leaks      float64 // share of casks
	leakBefore float64 // years before now at which a leak begins; 0: anywhere in the middle half
	newWood    float64
	strength   float64 // share of casks sampled for strength alone
	topUps     float64
	house      bool // several places with a known climate, and kinds of vessel beside casks
	rooms      bool // places in which the season differs, and woods that do
}

// store is a simulated store: what was written down, and what is true.
type store struct {
	plan       plan
	now        float64
	stock      Stock
	strengthSD float64 // error of a strength
	casks      []*simCask
	later      []simPoint // truth two years on
	halfway    []simPoint // truth 400 days after the fill
}

// in puts a plan in a world.
func (p plan) in(w *world) plan {
	p.world = w
	return p
}

const simStart = 40 * 365.25 // day on which simulated stores begin

// simulate builds a store. The same seed gives the same store.
func simulate(p plan, seed uint64) *store {
	r := rand.New(rand.NewPCG(seed, 77))
	s := &store{plan: p, now: simStart + p.years*daysPerYear}
	s.strengthSD = 0.1 + 0.25*r.Float64()
	for i := range p.casks {
		c := newSimCask(p, i, r)
		s.fill(c, r, s.strengthSD)
		s.liveThrough(c, r, s.strengthSD)
		s.stock.Vessels = append(s.stock.Vessels, c.vessel)
		s.casks = append(s.casks, c)
		on := *c
		on.live(p.world, s.now, s.now+2*daysPerYear, r)
		s.halfway = append(s.halfway, c.seen)
		s.later = append(s.later, simPoint{s.now + 2*daysPerYear, on.volume(), on.strength()})
	}
	s.stock.Places = []Climate{{Place: "barn"}}
	if p.house {
		s.stock.Places = append(s.stock.Places, housePlaces...)
	}
	return s
}

// The places of a larger house, as its owner wrote them down: the loft is warm
// and dry, the vault cold and damp.
var housePlaces = []Climate{
	{Place: "loft", TempC: 19, HumidityPct: 60, TempKnown: true, HumidityKnown: true},
	{Place: "vault", TempC: 10, HumidityPct: 75, TempKnown: true, HumidityKnown: true},
}

// house puts a vessel somewhere and may make it of another kind.
func (c *simCask) house(r *rand.Rand) {
	switch r.IntN(3) {
	case 0:
		c.vessel.Place = "loft"
		c.area *= arrhenius(19, 40000)
		c.humid -= 0.06
	case 1:
		c.vessel.Place = "vault"
		c.area *= arrhenius(10, 40000)
		c.humid += 0.06
	}
	kind, share := Cask, 1.0
	switch r.IntN(8) {
	case 0:
		kind, share = Hybrid, 0.16
	case 1:
		kind, share = Jar, 0.04
	case 2:
		kind, share = Tank, 0.001
	}
	c.vessel.Kind = kind
	c.area *= share
	c.loss *= share
	c.drift *= share
	for i := range c.years2 {
		c.years2[i] *= share
	}
	if kind == Tank {
		c.vessel.WoodNew = false
	}
}

func newSimCask(p plan, i int, r *rand.Rand) *simCask {
	c := &simCask{capacity: p.sizes[r.IntN(len(p.sizes))], swing: 1}
	c.area = 0.0555 * math.Pow(c.capacity, 2.0/3) * math.Exp(0.05*r.NormFloat64())
	c.vessel = Vessel{Code: fmt.Sprintf("C%03d", i), Kind: Cask, Place: "barn", Capacity: spirit.Litres(c.capacity)}
	c.vessel.WoodNew = r.Float64() < p.newWood
	p.world.born(c, r)
	if p.house {
		c.house(r)
	}
	if p.rooms {
		c.room(i)
	}
	soak := 0.6
	if c.vessel.WoodNew {
		soak, c.swap = 1.6, 0.05
	}
	c.soakLeft = soak * 0.0555 * math.Pow(c.capacity, 2.0/3) * math.Exp(0.3*r.NormFloat64())
	switch c.vessel.Kind {
	case Hybrid, Jar:
		c.soakLeft *= 0.2
	case Tank:
		c.soakLeft = 0
	}
	c.soakDays = 25 + 50*r.Float64()
	c.dipSD = (0.003 + 0.005*r.Float64()) * c.capacity
	c.weighSD = 0.02 + 0.0006*c.capacity
	c.gauge = []string{"dip", "weight"}[r.IntN(2)]
	if r.Float64() < p.strength {
		c.gauge = "strength"
	}
	if r.Float64() < p.leaks {
		c.leak = 0.04 + 0.11*r.Float64()
		c.leakFrom = simStart + p.years*daysPerYear*(0.25+0.5*r.Float64())
		if p.leakBefore > 0 {
			c.leakFrom = simStart + (p.years-p.leakBefore)*daysPerYear
		}
	}
	return c
}
