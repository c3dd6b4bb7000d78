package blend

import "math"

// describe adds what the draws bring besides alcohol: age, shares, scores, solids.
func (m *model) describe(pt *part, x []float64, made *Made) {
	var used []cask
	var volumes []float64
	for _, u := range pt.draws {
		if v := x[u.column]; v > 0 {
			used = append(used, m.casks[u.cask])
			volumes = append(volumes, v)
		}
	}
	made.YoungestDays = youngest(used)
	made.Shares = averages(used, volumes, made.PureAlcoholL, func(c *cask) map[string]float64 { return c.Shares }, false)
	made.Scores = averages(used, volumes, made.PureAlcoholL, func(c *cask) map[string]float64 { return c.Scores }, true)
	made.Residue = residueOf(used, volumes, made.VolumeL)
	variance := 0.0
	for i := range used {
		variance += square(volumes[i] * used[i].StrengthSD)
	}
	made.StrengthSD = math.Sqrt(variance) / made.VolumeL
}

func square(v float64) float64 { return v * v }

// youngest is the least age, nil when one is not known.
func youngest(used []cask) *float64 {
	var least *float64
	for i := range used {
		age := used[i].AgeDays
		if age == nil {
			return nil
		}
		if least == nil || *age < *least {
			least = age
		}
	}
	return least
}

// averages weighs by pure alcohol. With known set, a name that some vessel
// lacks is left out, since what is not known is not 0.
func averages(used []cask, volumes []float64, alcohol float64, of func(*cask) map[string]float64, known bool) map[string]float64 {
	if alcohol <= 0 {
		return nil
	}
	sums, count := map[string]float64{}, map[string]int{}
	for i := range used {
		for name, v := range of(&used[i]) {
			sums[name] += v * volumes[i] * used[i].alcohol / alcohol
			count[name]++
		}
	}
	for name, n := range count {
		if known && n < len(used) {
			delete(sums, name)
		}
	}
	if len(sums) == 0 {
		return nil
	}
	return sums
}

// residueOf is the dissolved solids of the result, nil when a vessel's are not known.
func residueOf(used []cask, volumes []float64, volume float64) *float64 {
	sum := 0.0
	for i := range used {
		if used[i].Residue == nil {
			return nil
		}
		sum += *used[i].Residue * volumes[i] / volume
	}
	return &sum
}
