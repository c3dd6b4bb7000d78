// Package cellar is the domain: vessels, batches, what happened to them, and
// the fold that turns those facts into contents, ages and accounts.
//
// The model in ten lines:
//
//   - A Fact is something that happened (a fill, a sample, a draw …). An Entry
//     is a fact with the time it happened, the time it was recorded, its
//     number in the journal and who wrote it. Nothing is edited: a wrong entry
//     is voided by another.
//   - Fold applies the entries in the order in which things happened, however
//     late they were written up, and gives a State.
//   - Liquid moves by one primitive, a Movement of so many milligrams of
//     ethanol and water from one Account to another. All accounts together
//     hold nothing, always.
//   - What an account holds is made of Parts: milligrams of ethanol by batch,
//     with the day they first met wood and the days spent in each wood. The
//     parts add up to the ethanol of the account, to the milligram.
//   - A Request is an entry as a person writes it, with raw measures. Resolve
//     works out the amounts and gives the fact, which keeps both.
//
// The book content of a vessel changes only by movements. Between two full
// gauges it is not lowered for evaporation: a full gauge posts the difference,
// to the angels and, by the rule in indrink.go, to the wood. How much is really
// there today is an estimate, and package loss gives it.
//
// No clock and no input or output here: times come in with the entries.
package cellar
