package cellar

import (
	"strings"
	"time"

	"example.org/croze/internal/spirit"
)

// Account is somewhere that liquid can be, or go to, or come from. Three
// classes hold liquid whose story is kept (batch, vessel, lot) and carry the
// name after a colon, and so does what soaked into the wood of a vessel; the
// rest are ends.
type Account string

// The ends. Made and WaterIn go below nothing as liquid comes from them; the
// others gather what left.
const (
	Made        Account = "made"        // what distilling brought in
	WaterIn     Account = "water"       // water for reducing
	Samples     Account = "samples"     // taken to taste and measure
	Drawn       Account = "drawn"       // taken out for use
	Spilled     Account = "spilled"     // known accidents
	Handling    Account = "handling"    // left in hoses and filters
	Angels      Account = "angels"      // evaporation
	Unexplained Account = "unexplained" // found missing, beyond what evaporation can do
)

// VesselAccount, BatchAccount and LotAccount name the holders.
func VesselAccount(code string) Account { return Account("vessel:" + code) }

// BatchAccount is the account of spirit made and not yet filled.
func BatchAccount(name string) Account { return Account("batch:" + name) }

// LotAccount is the account of a bottling.
func LotAccount(lot string) Account { return Account("lot:" + lot) }

// IndrinkAccount is the account of what soaked into the wood of a vessel.
func IndrinkAccount(code string) Account { return Account("indrink:" + code) }

// Split returns the class and, for a holder, its name.
func (a Account) Split() (class, name string) {
	class, name, _ = strings.Cut(string(a), ":")
	return class, name
}

// Vessel returns the vessel's code if the account is a vessel's.
func (a Account) Vessel() (string, bool) { return strings.CutPrefix(string(a), "vessel:") }

// Batch returns the batch's name if the account is a batch's.
func (a Account) Batch() (string, bool) { return strings.CutPrefix(string(a), "batch:") }

// Lot returns the lot's name if the account is a bottling's.
func (a Account) Lot() (string, bool) { return strings.CutPrefix(string(a), "lot:") }

// holds says whether the account keeps parts and may not go below nothing.
func (a Account) holds() bool { return strings.Contains(string(a), ":") }

// Movement is the one primitive: an amount leaves one account for another. For
// evaporation found by gauging either mass may be below nothing (a humid store
// gives water; a reading can err).
type Movement struct {
	Seq    uint64        `json:"seq"` // the entry that moved it
	At     time.Time     `json:"at"`
	From   Account       `json:"from"`
	To     Account       `json:"to"`
	Amount spirit.Amount `json:"amount"`
	Parts  []Part        `json:"parts,omitempty"` // what the amount was made of, where the story is kept
}
