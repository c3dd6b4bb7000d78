// Package spirit is the alcoholometry of the program: what a mixture of
// ethanol and water weighs, how much room it takes and how strong it is.
//
// The model is one density function, the general formula of OIML R 22 (1975):
// kilograms in a cubic metre, in vacuum, for a mass fraction p of ethanol from
// 0 to 1 and a temperature t from -20 to +40 °C. Everything else follows:
//
//   - Strength is % vol at 20 °C: the volume that the ethanol alone would take
//     at 20 °C over the volume of the mixture at 20 °C,
//     q = 100 · p · ρ(p, 20) / ρ(1, 20).
//   - Proof is the US scale: twice the same quotient taken at 60 °F.
//   - An Amount is a mass of ethanol and a mass of water in milligrams. Masses
//     add; volumes do not, because mixing contracts. Volume is worked out, never kept.
//
// To reduce 10 L of 60 % vol to 40 % by hand: 10 L holds 6 L of pure alcohol,
// so there will be 6 / 0.40 = 15 L. The spirit weighs 10 · ρ(60 %) = 9.091 kg and
// the result 15 · ρ(40 %) = 14.221 kg, so 5.130 kg of water is wanted: 5.139 L,
// although the volume grew by 5 L only. The 0.139 L is the contraction.
//
// What people type is read by the Parse functions, which refuse a doubtful
// decimal mark; what an instrument shows becomes a strength by Hydrometer; solids
// that hide strength are allowed for by Residue or Obscuration.
//
// Units are in the types. Nothing here reads a clock or a file, and no
// calculation allocates unless it fails.
package spirit
