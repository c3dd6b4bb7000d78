// Package demo tells the invented story of a small stillhouse, so that the
// program can be tried without a drop of spirit: places, vessels, batches and
// six years of entries, ending on the day that is given as today.
//
// The house is called Quernmoss. It has an orchard and a few acres of grain,
// one pot still, and four rooms in which spirit rests: the Moss Cellar (stone,
// cool, damp), the Long Barn (follows the weather), the Press House and the
// Rafter Loft (warm and dry under the tiles). Tanks stand in the Tun Room, whose
// air nobody logs. It makes apple, rye and oat spirit. Nothing of it exists:
// house, rooms, makers' codes and people (who go by their work) are made up.
//
// What happens there is not written by hand. Each vessel holds a mass of
// ethanol and a mass of water, and day by day both leave through the wood, in
// weather that is drawn by lot. Instruments read them with errors, the keeper
// forgets a sample, an apprentice types one wrong. Only what people would have
// written down is told; what was truly there is kept for Truth. The physics is
// this package's own, simple on purpose, and not the estimator's: the demo must
// be able to prove the estimator wrong.
//
// One seed and one day give one story, to the letter.
package demo
