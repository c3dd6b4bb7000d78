package loss

import "sort"

// What each place has of its own, in the order in which its settings stand. A
// cellar hardly knows summer, so that the season differs from place to place.
const (
	placeRate      = iota // on the log rate
	placePull             // on the pull on water
	placeSeasonCos        // season of the log rate beside that of the stock
	placeSeasonSin
	placeHumidCos // season of the pull beside that of the stock
	placeHumidSin
	settingsOfAPlace
)

// settingsOf lists the settings of a stock: the common ones, those of each
// place, and for each wood how freely it lets spirit through. Where there is
// one place, its season is that of the stock.
func settingsOf(places []*air, woods []string) []setting {
	list := commonPriors()
	season, humid := 0.20, 0.03
	if len(places) < 2 {
		season, humid = 0, 0
	}
	for _, a := range places {
		pull := 0.10
		if a.humid {
			pull = 0.05
		}
		list = append(list,
			setting{"rate", 0, 0.25, false}, setting{"pull", 0, pull, false},
			setting{"season of rate, cos", 0, season, false}, setting{"season of rate, sin", 0, season, false},
			setting{"season of pull, cos", 0, humid, false}, setting{"season of pull, sin", 0, humid, false})
	}
	for _, wood := range woods {
		list = append(list, setting{"rate through " + wood, 0, 0.2, false})
	}
	return list
}

// here returns what a place has of its own; nothing for no place.
func (h *hyper) here(place int) [settingsOfAPlace]float64 {
	var of [settingsOfAPlace]float64
	if place >= 0 {
		from := commonSettings + place*settingsOfAPlace
		copy(of[:], h.at[from:from+settingsOfAPlace])
	}
	return of
}

// A wood is told from others once so many vessels are of it, and no more than
// the most common few are.
const (
	leastOfAWood = 3
	mostWoods    = 12
)

// woodsOf lists the woods that are told apart, by name.
func woodsOf(vessels []Vessel) []string {
	count, all := map[string]int{}, 0
	for i := range vessels {
		if v := &vessels[i]; v.Wood != "" && v.Kind != Jar && v.Kind != Tank {
			count[v.Wood]++
			all++
		}
	}
	var woods []string
	for wood, n := range count {
		if n >= leastOfAWood && n < all {
			woods = append(woods, wood)
		}
	}
	sort.Slice(woods, func(i, j int) bool {
		if a, b := count[woods[i]], count[woods[j]]; a != b {
			return a > b
		}
		return woods[i] < woods[j]
	})
	woods = woods[:min(len(woods), mostWoods)]
	sort.Strings(woods)
	return woods
}
