package cellar

// Ages says how old a holder's contents are on a day, in days in wood, counted
// by the parts of their alcohol.
type Ages struct {
	Youngest int // the part that an age statement must go by
	Mean     int // weighted by alcohol
	Oldest   int
	Calendar int // since the first part met wood, resting in inert vessels included
}

// agesOf works the ages out; contents without alcohol have none.
func agesOf(parts []Part, on Day) Ages {
	var ages Ages
	var weighted, whole float64
	for i, p := range parts {
		days := p.WoodDays()
		if i == 0 || days < ages.Youngest {
			ages.Youngest = days
		}
		ages.Oldest = max(ages.Oldest, days)
		if p.FirstWood != 0 {
			ages.Calendar = max(ages.Calendar, int(on-p.FirstWood))
		}
		weighted += float64(days) * float64(p.EthanolMg)
		whole += float64(p.EthanolMg)
	}
	if whole > 0 {
		ages.Mean = int(weighted/whole + 0.5)
	}
	return ages
}

// Share is a fraction of the pure alcohol, 0 to 1, under a name.
type Share struct {
	Name     string  `json:"name"`
	Fraction float64 `json:"fraction"`
}
