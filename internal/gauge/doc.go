// Package gauge turns a measurement of a vessel into what is in it, with its
// standard uncertainty.
//
// The methods: a weight over a tare (Weighing), a rod's wet mark (Dip), the dry
// depth under the bung (Ullage), a level seen through glass (Level), a meter, a
// measured jug, or a volume found in some other way. Each type holds what was
// read and how well; its Content takes the liquid and gives a Measured. The
// functions By… do the same with the usual uncertainties.
//
// Every method ends in the same place. A reading and the density of the liquid
// at its temperature t give a mass m; the mass and the strength q give the rest:
//
//	m = ρ(q, t) · V                          a volume was measured
//	m = W · (1 - 1.2/8000) / (1 - 1.2/ρ)     a weight W was read in air
//	V₂₀ = m / ρ(q, 20 °C)                    the volume that the books show
//
// Readings, strength and temperature each carry a standard uncertainty, taken
// as independent. Each is moved by its own uncertainty, what the result does is
// noted, and the squares are added (GUM 5.1.2).
//
// A litre of 60 % vol at 20 °C weighs 0.909 kg and reads 0.908 kg on a balance.
// At 10 °C 20 L of it by the jug are 20.17 L in the books.
//
// A cask's Shape is given by three inside measures and the curve of its staves;
// its content under a level, the level of a content, and its wall, whole and
// wet, come by integration. Lengths are in cm, volumes in L, areas in m².
package gauge
