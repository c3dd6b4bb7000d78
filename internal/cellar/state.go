package cellar

import (
	"iter"
	"maps"
	"slices"
	"strings"
	"time"

	"example.org/croze/internal/spirit"
)

// State is what the entries say, after the fold. It is read-only to everybody
// but the fold.
type State struct {
	Places    map[string]Place
	Vessels   map[string]*VesselState
	Batches   map[string]*BatchState
	Lots      map[string]*Lot
	Movements []Movement
	Remarks   []Remark

	Closings     []Closing              // periods closed, as they were closed
	Limits       map[VesselKind]float64 // yearly loss in % of the alcohol above which it is to be explained; 0: none
	Explanations []Explanation

	Rounds []Begun // in the order in which they were begun
	Skips  []Skipped
	Aims   []Aimed
	Rhythm map[VesselKind]int // days between looks, where the owner set them; 0: never
	Plans  []Planned          // in the order in which they were kept
	Desk   Desk               // trials, tastings and values

	instruments map[string][]Instrument     // certificates by name, oldest first
	climate     map[string][]ClimateReading // by place, oldest first
	holders     map[Account]*holder         // each written anew when it changes
	ends        map[Account]spirit.Amount
	costs       map[string]costed // by vessel, see CostOf
	aliases     map[string]string // by any spelling of code or maker's code, see spelling
	alike       likes             // the same by likeness
	grains      map[string]string // the first spelling of each, by likeness
	last        Entry             // the latest applied, in the fold's order
}

// VesselState is a vessel and its history.
type VesselState struct {
	Vessel
	PlacedAt string // where it stands
	PlacedIn Spot   // and where there, if that is said
	Events   []Event
	filled   bool
}

// BatchState is a batch.
type BatchState struct {
	Batch
	CarriedIn []Carry
	Unnamed   bool // opened by a fill that named no batch
	posted    bool
}

// Lot is a bottling.
type Lot struct {
	Name     string
	Vessel   string
	At       time.Time
	Bottles  []Bottles
	LabelPct spirit.Strength
	Youngest int // days in wood of its youngest part
}

// Remark is a note, beside the history of what it is about.
type Remark struct {
	Entry Entry
	About Account
	Text  string
}

// Event is one line of a vessel's history, with what it did to the vessel.
type Event struct {
	Entry   Entry
	In, Out spirit.Amount // known movements
	Lost    spirit.Amount // posted to the angels, the wood or another loss; below nothing for a gain
	Reading *Reading
	Content *Content
	Filled  bool          // a new filling begins here
	Emptied bool          // nothing is left after it
	Book    spirit.Amount // book content after it
}

// holder is an account with a story.
type holder struct {
	Contents
	since  Day           // days in wood are counted up to here
	wood   string        // label of the wood it stands in, "" for none
	gauged Day           // last fill or full gauge
	rested spirit.Litres // the most that has been in a vessel since then

	filledOn Day           // of a vessel's present filling
	thirst   spirit.Litres // what its wood could take up at that fill
	drunk    spirit.Litres // what was put down to the wood since
}

// settledOn returns the holder with its days in wood counted up to a day.
func (h holder) settledOn(day Day) holder {
	if h.wood != "" && day > h.since {
		h.Parts = aged(h.Parts, h.wood, h.since, day)
	}
	h.since = max(h.since, day)
	return h
}

// NewState returns an empty book.
func NewState() *State {
	return &State{
		Places:      make(map[string]Place),
		Vessels:     make(map[string]*VesselState),
		Batches:     make(map[string]*BatchState),
		Lots:        make(map[string]*Lot),
		Limits:      make(map[VesselKind]float64),
		Rhythm:      make(map[VesselKind]int),
		instruments: make(map[string][]Instrument),
		climate:     make(map[string][]ClimateReading),
		holders:     make(map[Account]*holder),
		ends:        make(map[Account]spirit.Amount),
		costs:       make(map[string]costed),
		aliases:     make(map[string]string),
		alike:       make(likes),
		grains:      make(map[string]string),
	}
}

// Copy returns a state that may be extended while others read this one. This
// one is not to be extended any more: the two share what does not change.
func (s *State) Copy() *State {
	c := *s
	c.Vessels, c.Batches, c.Lots = maps.Clone(s.Vessels), maps.Clone(s.Batches), maps.Clone(s.Lots)
	c.Limits, c.Rhythm = maps.Clone(s.Limits), maps.Clone(s.Rhythm)
	c.holders, c.ends, c.costs = maps.Clone(s.holders), maps.Clone(s.ends), maps.Clone(s.costs)
	return &c
}

// ownRegisters copies what only registrations change, and what a Copy therefore
// leaves shared.
func (s *State) ownRegisters() {
	s.Places, s.instruments, s.climate = maps.Clone(s.Places), maps.Clone(s.instruments), maps.Clone(s.climate)
	s.aliases, s.alike, s.grains = maps.Clone(s.aliases), maps.Clone(s.alike), maps.Clone(s.grains)
}

// held is what an account holds, nothing if it was never used.
func (s *State) held(a Account) holder {
	if h := s.holders[a]; h != nil {
		return *h
	}
	return holder{}
}

// ContentsOn returns what the books say an account holds, its days in wood
// counted up to a day (not before its last movement).
func (s *State) ContentsOn(a Account, on Day) Contents {
	held := s.held(a).settledOn(on).Contents
	held.Parts = slices.Clone(held.Parts) // the caller's own, to sort as it likes
	return held
}

// AgesOn returns the ages of what a vessel or a lot holds.
func (s *State) AgesOn(a Account, on Day) Ages {
	return agesOf(s.held(a).settledOn(on).Parts, on)
}

// Balance returns what an account holds; an end from which liquid came is below nothing.
func (s *State) Balance(a Account) spirit.Amount {
	if a.holds() {
		return s.held(a).Amount
	}
	return s.ends[a]
}

// Balances are what all accounts hold, in no order.
func (s *State) Balances() iter.Seq2[Account, spirit.Amount] {
	return func(yield func(Account, spirit.Amount) bool) {
		for a, h := range s.holders {
			if !yield(a, h.Amount) {
				return
			}
		}
		for a, amount := range s.ends {
			if !yield(a, amount) {
				return
			}
		}
	}
}

// Accounts lists every account that was ever used, sorted.
func (s *State) Accounts() []Account {
	names := slices.Collect(maps.Keys(s.holders))
	names = slices.AppendSeq(names, maps.Keys(s.ends))
	slices.Sort(names)
	return names
}

// IsEmpty says whether a vessel holds nothing.
func (s *State) IsEmpty(code string) bool {
	v, ok := s.Vessels[code]
	return !ok || !v.filled
}

// FindVessel finds a vessel by its code in any spelling, by its maker's code,
// or by what looks like one of these and like no other.
func (s *State) FindVessel(written string) (*VesselState, bool) {
	if v, ok := s.Vessels[written]; ok {
		return v, true
	}
	if v, ok := s.Vessels[s.aliases[spelling(written)]]; ok {
		return v, true
	}
	v, ok := s.Vessels[s.alike[likeness(written)]]
	return v, ok
}

// spelling is a code with what people do not care about taken off: case, and
// the dash of a code of the book's own form, which a maker's may happen to have.
func spelling(code string) string {
	if canonical, own, err := ParseCode(code); err == nil && own {
		return canonical
	}
	return strings.ToUpper(strings.TrimSpace(code))
}

// VesselCodes lists the vessels, sorted.
func (s *State) VesselCodes() []string { return slices.Sorted(maps.Keys(s.Vessels)) }

// BatchNames lists the batches, sorted.
func (s *State) BatchNames() []string { return slices.Sorted(maps.Keys(s.Batches)) }

// LastAt returns when the latest entry of the fold happened.
func (s *State) LastAt() time.Time { return s.last.HappenedAt }

// GrainShares returns the shares of pure alcohol by grain; what is not known
// of a batch goes under "unknown".
func (s *State) GrainShares(parts []Part) map[string]float64 {
	whole := float64(sumParts(parts))
	shares := make(map[string]float64)
	for _, p := range parts {
		weight := float64(p.EthanolMg) / whole
		left := weight
		if b, ok := s.Batches[p.Batch]; ok {
			for grain, share := range b.Grains {
				shares[s.GrainSpelling(grain)] += weight * share
				left -= weight * share
			}
		}
		if left > 1e-9 {
			shares["unknown"] += left
		}
	}
	return shares
}

// BatchShares returns the shares of pure alcohol by batch.
func BatchShares(parts []Part) map[string]float64 {
	whole := float64(sumParts(parts))
	shares := make(map[string]float64)
	for _, p := range parts {
		shares[p.Batch] += float64(p.EthanolMg) / whole
	}
	return shares
}
