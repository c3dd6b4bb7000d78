package demo

import (
	"fmt"
	"maps"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// run is one time that the still was fired: what came off, and where it went.
type run struct {
	spirit   string
	ago      int     // days before today
	litres   float64 // that came off, made up to filling strength
	strength float64 // % vol
	grains   map[string]float64
	yeast    string
	note     string
	carries  int // the earlier run whose left-overs went in; -1 for none
	fills    []filling
}

type filling struct {
	key    string
	litres float64
}

var (
	orchard  = map[string]float64{"apple": 1}
	ryeMash  = map[string]float64{"rye": 0.8, "barley malt": 0.2}
	rye70    = map[string]float64{"rye": 0.7, "oat": 0.1, "barley malt": 0.2}
	oatMash  = map[string]float64{"oat": 0.7, "barley malt": 0.2, "rye": 0.1}
	ciderLee = "cider yeast, kept from the lees"
	farmYest = "farmhouse ale yeast"
	dryYeast = "dried distilling yeast"
)

// runs is what the still gave in six years. What is not filled is carried into
// the next run of the same spirit.
var runs = []run{
	{
		"Apple", 2180, 265, 62.8, orchard, ciderLee,
		"Foreshots 2.4 L thrown away. Hearts cut from 76 to 58 % vol, a clean run.",
		-1, []filling{{"c225a", 220}, {"c40", 38.5}},
	},
	{
		"Apple", 2090, 225, 64.1, orchard, ciderLee,
		"Foreshots 2 L thrown away. Hearts to 60 % vol; pips in the tails.",
		0, []filling{{"c200", 195}, {"h25", 24}},
	},
	{
		"Rye", 2010, 292, 61.5, ryeMash, farmYest,
		"Foreshots 3 L thrown away. Hearts to 57 % vol, tails kept apart.",
		-1, []filling{{"c225b", 219}, {"c60", 58.5}},
	},
	{
		"Rye", 1900, 184, 63.4, ryeMash, farmYest,
		"Cut a little early: cardboard at 59 % vol.",
		2, []filling{{"c110a", 107.5}, {"c50a", 48.6}, {"j10a", 9.7}, {"c10a", 9.8}},
	},
	{
		"Apple", 1790, 232, 65, orchard, dryYeast,
		"Perry pears among the apples, about one in ten. Hearts to 60 % vol.",
		1, []filling{{"c110b", 107}, {"c100", 97.5}, {"c20b", 19.5}},
	},
	{
		"Rye", 1660, 96, 60.5, rye70, farmYest,
		"Half a mash: the mill stood still. One fill in two woods, to compare.",
		3, []filling{{"c30a", 29.2}, {"c30b", 29.2}, {"h30", 29.2}},
	},
	{
		"Oat", 1540, 218, 59.8, oatMash, dryYeast,
		"First oat run. Foreshots 2.2 L thrown away; slow, creamy, cut at 56 % vol.",
		-1, []filling{{"c55a", 53.6}, {"c55b", 53.6}, {"h100", 97.5}, {"j10b", 9.7}},
	},
	{
		"Apple", 1400, 126, 63.6, orchard, ciderLee,
		"One fill in a cask and over staves, to compare. Hearts to 59 % vol.",
		4, []filling{{"c20a", 19.4}, {"j20", 19.4}, {"c50b", 48.6}, {"c30d", 29.2}, {"j5b", 4.8}},
	},
	{
		"Rye", 1280, 142, 62.2, ryeMash, farmYest,
		"Foreshots 1.5 L thrown away. Pepper early, cut at 58 % vol.",
		5, []filling{{"h60", 58.5}, {"c30c", 29.2}, {"h50", 48.7}},
	},
	{
		"Oat", 1130, 62, 61, oatMash, dryYeast,
		"Small run from the end of the sacks.",
		6, []filling{{"c15", 14.6}, {"j25", 24.3}, {"c10b", 9.7}, {"j5a", 4.8}},
	},
	{
		"Apple", 960, 76, 63, orchard, ciderLee,
		"Most of it kept white in the tank, for topping up.",
		7, []filling{{"t50", 48}, {"c5a", 4.85}, {"j10c", 9.7}, {"j5c", 4.8}},
	},
	{
		"Rye", 740, 104, 62.6, rye70, farmYest,
		"For the casks that the blend left empty.",
		8, []filling{{"c60", 58.3}, {"c40", 38.6}},
	},
	{
		"Oat", 540, 30, 60.4, oatMash, dryYeast,
		"Pilot run with the oats of the upper field.",
		9, []filling{{"c20b", 19.4}, {"c5b", 4.85}},
	},
	{
		"Apple", 330, 84, 64.4, orchard, ciderLee,
		"Foreshots 0.9 L thrown away. Hearts to 60 % vol; a good year's apples.",
		10, []filling{{"c30d", 29}, {"c50c", 48.6}},
	},
	{
		"Rye", 150, 68, 61.8, ryeMash, farmYest,
		"New chestnut cask. Hearts to 58 % vol.",
		11, []filling{{"c60b", 58.4}},
	},
}

// distil registers the batches, left-overs and all.
func (t *telling) distil() error {
	inYear := make(map[string]int)
	for _, r := range runs {
		day := t.daysAgo(r.ago)
		named := fmt.Sprintf("%s %d", r.spirit, day.Year())
		inYear[named]++
		fact := cellar.BatchFact{Batch: cellar.Batch{
			Name: fmt.Sprintf("%s-%d", named, inYear[named]), MadeOn: cellar.DayOf(day), Grains: maps.Clone(r.grains), Yeast: r.yeast,
			Note: r.note, VolumeL: spirit.Litres(r.litres), StrengthPct: spirit.Strength(r.strength),
		}}
		if r.carries >= 0 {
			carry, err := t.leftOver(r.carries)
			if err != nil {
				return err
			}
			fact.CarriedIn = []cellar.Carry{carry}
			fact.Note += fmt.Sprintf(" %.1f L left over from %s went into the still.", float64(carry.Amount.Volume()), t.batches[r.carries].Name)
		}
		if err := cellar.CheckBatch(&fact.Batch); err != nil {
			return err
		}
		t.batches = append(t.batches, fact)
	}
	return nil
}

// leftOver is what the casks did not take of an earlier run, as the books have
// it: each filling goes out at the strength that is then in the receiver, which
// the rounding to milligrams moves by a hair.
func (t *telling) leftOver(of int) (cellar.Carry, error) {
	left := t.batches[of].Made
	for _, f := range runs[of].fills {
		filled, err := spirit.AmountOf(spirit.Litres(f.litres), left.Strength())
		if err != nil {
			return cellar.Carry{}, err
		}
		left = left.Sub(filled)
	}
	return cellar.Carry{From: cellar.BatchAccount(t.batches[of].Name), Amount: left}, nil
}

// fill fills the vessels of a run on the day after it.
func (t *telling) fill(n int) {
	batch := t.batches[n]
	strength := float64(batch.StrengthPct) + t.bench.off(0.06)
	for _, f := range runs[n].fills {
		v := t.vessel(f.key)
		v.receive(litresOf(f.litres*(1+t.bench.off(0.003)), strength))
		v.lastLook, v.looks = t.ago, 0
		t.tell(cellar.Request{Entry: "fill", Vessel: v.Code, From: batch.Name, VolumeL: number(f.litres)}, distiller)
	}
}
