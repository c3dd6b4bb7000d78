// Package loss reckons what a vessel holds on a day when nobody gauged it: how
// much has left through the wood, how the strength has drifted, and where both
// will stand on a later day.
//
// A vessel holds E kg of ethanol and W kg of water. Both leave through A m² of
// wood, driven by what the liquid offers (activities aE and aW, each 0 to 1) and
// what the store takes up (relative humidity h, 0 to 1):
//
//	dE/dt = -k·f·A·aE
//	dW/dt = -k·r·f·A·(aW - h)
//
// with k in kg/(m²·year), r the ease with which water passes beside ethanol and
// f falling from 1 as the vessel empties and its wall dries. By hand: a 200 L
// cask has 1.9 m² of wood; at 60 % vol aE is 0.51, so with k = 1.9 it loses
// 1.9 · 1.9 · 0.51 = 1.8 kg of ethanol in a year, 1.9 % of the 95 kg in it.
//
// How fast one vessel loses is learned from its own samples and from its like
// in the store: Fit reads the whole stock, Refit one vessel. Estimates carry a
// standard deviation and the bounds of a central 90 % interval.
//
// Days are counted from 1970-01-01 UTC, volumes are litres at 20 °C, strengths
// % vol at 20 °C. Nothing here reads a clock or a file, and the same stock gives
// the same numbers in whatever order its vessels and events are listed.
package loss
