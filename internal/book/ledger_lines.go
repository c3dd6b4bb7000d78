package book

import "example.org/croze/internal/cellar"

// The lines of a statement. The files and closings keep these words.
const (
	keyOpening     = "opening"
	keyAdjustment  = "adjustment" // what was found out about closed periods since
	keyMade        = "made"
	keyFilled      = "filled" // from batches into vessels
	keyCarried     = "carried"
	keyMovedIn     = "moved_in"
	keyReduced     = "reduced" // water added
	keyRinsed      = "rinsed"
	keyGains       = "gains" // found to be more than the books had
	keyMovedOut    = "moved_out"
	keySampled     = "sampled"
	keyDrawn       = "drawn"
	keyBottled     = "bottled"
	keyEvaporation = "evaporation"
	keyIndrink     = "indrink"
	keyDried       = "dried"
	keySpilled     = "spilled"
	keyHandling    = "handling"
	keyUnexplained = "unexplained"
	keyClosing     = "closing"
)

// lineOrder is the order in which a person reads them.
var lineOrder = []string{
	keyOpening, keyAdjustment, keyMade, keyFilled, keyCarried, keyMovedIn, keyReduced, keyRinsed, keyGains,
	keyMovedOut, keySampled, keyDrawn, keyBottled, keyEvaporation, keyIndrink, keyDried, keySpilled, keyHandling,
	keyUnexplained, keyClosing,
}

// lineWords are the lines as people say them, whatever the section.
var lineWords = map[string]string{
	keyOpening: "Opening", keyAdjustment: "Adjustments for closed periods", keyMade: "Made", keyFilled: "Filled into vessels",
	keyCarried: "Carried back into a run", keyMovedIn: "Moved in from other vessels", keyReduced: "Water added",
	keyRinsed: "Rinsed out of the wood", keyGains: "Gains: found to be more than the books had",
	keyMovedOut: "Moved out to other vessels", keySampled: "Samples", keyDrawn: "Drawn", keyBottled: "Bottled",
	keyEvaporation: "Lost: evaporation", keyIndrink: "Soaked into the wood (indrink)", keyDried: "Dried out of empty vessels' wood",
	keySpilled: "Lost: spills", keyHandling: "Lost: handling", keyUnexplained: "Lost: unexplained", keyClosing: "Closing",
}

// sectionWords are the headings of the sections.
var sectionWords = map[string]string{
	SectionStore: "All spirit in the store", SectionVessels: "In vessels", SectionUnfilled: "Made and not yet filled",
	SectionWood: "Soaked into the wood",
}

// LineWords says a line's name as people do.
func LineWords(key string) string { return lineWords[key] }

// SectionWords says a section's name as people do.
func SectionWords(name string) string { return sectionWords[name] }

// keyOfIn is the line of a movement into a section.
func keyOfIn(m cellar.Movement) string {
	to, _ := m.To.Split()
	switch from, _ := m.From.Split(); from {
	case "made":
		return keyMade
	case "water":
		return keyReduced
	case "batch":
		return keyFilled
	case "indrink":
		return keyRinsed
	default: // a vessel
		switch to {
		case "batch":
			return keyCarried
		case "indrink":
			return keyIndrink
		}
		return keyMovedIn
	}
}

// keyOfOut is the line of a movement out of a section. What a gauge found too
// much of was posted as a loss below nothing.
func keyOfOut(m cellar.Movement) string {
	from, _ := m.From.Split()
	to, _ := m.To.Split()
	if to == "angels" {
		switch a := m.Amount; {
		case a.EthanolMg < 0 || a.EthanolMg == 0 && a.WaterMg < 0:
			return keyGains
		case from == "indrink":
			return keyDried
		}
		return keyEvaporation
	}
	switch {
	case from == "indrink":
		return keyRinsed
	case from == "batch":
		return keyFilled
	}
	return outKeys[to]
}

// outKeys are the lines of what leaves a vessel, by where it goes.
var outKeys = map[string]string{
	"samples": keySampled, "drawn": keyDrawn, "lot": keyBottled, "spilled": keySpilled, "handling": keyHandling,
	"unexplained": keyUnexplained, "indrink": keyIndrink, "batch": keyCarried, "vessel": keyMovedOut,
}
