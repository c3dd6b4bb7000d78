// Package identity says what a spirit may be called and with which age,
// jurisdiction by jurisdiction, and keeps the cautions that go with strong spirit.
//
// The rules are data, rules.json: a jurisdiction has names, a name has
// conditions, and every condition carries its citation and whether the text of
// the law was seen or is from memory. Judge holds the facts of a spirit against
// them. A condition is met, broken or unknown; what is not known is never
// guessed. An example: 26 months in a used cask of oak is an age of two years
// in Australia, no age for a bourbon (new charred oak is wanted), and in a jar with
// staves no age anywhere, because a jar is no wooden container.
//
// Days are turned into years on the safe side: a year is 365 to 366 days, and
// where that makes the difference the condition is unknown and says so.
//
// All of it is advice and no law; rules change. Every report ends with the
// words that the authority is to be asked.
package identity
