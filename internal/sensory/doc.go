// Package sensory plans blind tastings and says what their results mean.
//
// In a test of difference each taster gives one answer, right or wrong, and a
// taster who cannot tell the samples apart is right with a known chance: one
// in three in a triangle, one in two in a duo-trio or a paired test. The number
// of right answers is then binomial, and the p-value is exact: the chance of
// so many right answers or more if nobody could tell them apart,
//
//	p = Σ (n over i) c^i (1-c)^(n-i), i from right to n.
//
// Three right of four in a triangle: 4 · (1/3)³ · (2/3) + (1/3)⁴ = 9/81 = 0.111.
// (ISO 4120, ISO 10399 and ISO 5495 describe the tests.)
//
// A small p is a sign that there is a difference. A large one is no sign that
// there is none: a few answers miss most differences. Hence Power and
// NeededAnswers, for which one says how many tasters in a hundred should be
// able to taste a difference that matters, and Distinguishers, which says how
// many there may be.
//
// In a ranking each taster puts all samples in order; the sums of ranks are
// compared by Friedman's test, or by Page's if an order was expected
// beforehand (ISO 8587).
//
// Serving orders are balanced and drawn from a random source that is passed
// in, so that a plan can be drawn again from its seed.
package sensory
