// Package blend works out which vessels to draw on, and how much water to
// add, to make a bottling of a chosen volume and strength: the best plan by the
// objective asked for, proven so, or the reason why there is none.
//
// The model is exact and linear, because masses add and pure alcohol adds. At
// 20 °C, with x litres drawn from a vessel of strength q (% vol) and density
// ρ(q), and w litres of water, V litres of strength Q need
//
//	Σ x·q     = V·Q            pure alcohol
//	Σ x·ρ(q) + w·ρ(0) = V·ρ(Q) mass
//
// Contraction is in the densities, so it is in the plan. To make 30 L of 46 %
// from one vessel of 60 % by hand: x = 30·46/60 = 23 L; ρ(46 %) = 937.7 and
// ρ(60 %) = 909.1 kg/m³, so 28.13 - 20.91 = 7.22 kg of water is wanted: 7.24 L,
// although only 7 L is gained.
//
// Limits are linear too: stock less what is kept back, a share of rye or a
// tasting score weighted by pure alcohol, dissolved solids. A vessel that is
// drawn whole or not at all, a least draw and a number of vessels make it a
// mixed-integer program. Package lp solves both.
//
// Volumes are litres at 20 °C, strengths % vol at 20 °C, ages days, masses kg in
// vacuum unless named as weighed in air. Nothing here reads a clock or a file.
package blend
