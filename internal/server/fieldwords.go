package server

import (
	"regexp"
	"strings"
)

// fieldWords are the fields of entries and files as the pages label them. The
// rooms below name fields as programs send them; a person at a form should
// find the words beside the box.
var fieldWords = map[string]string{
	"batch":         "Name",
	"bottles":       "How many",
	"capacity_l":    "Capacity, L",
	"carried_from":  "Left-overs from",
	"carried_l":     "Left-overs, L",
	"carried_pct":   "Left-overs, % vol",
	"drawn_l":       "Taken out",
	"drawn_ml":      "Taken out, mL",
	"from":          "From",
	"grain_min_pct": "at least, % of the alcohol",
	"grains":        "Grain or fruit, shares",
	"gross_kg":      "Gross weight, kg",
	"humidity_pct":  "Usual humidity, %",
	"keep_l":        "Keep in each, L",
	"label_pct":     "Strength on the label, % vol",
	"lot":           "Lot code",
	"made_on":       "Made on",
	"maker_code":    "Maker's code",
	"max_vessels":   "At most so many vessels",
	"min_age_years": "Youngest part at least, years",
	"reading_pct":   "Reading",
	"strength":      "Reading",
	"strength_pct":  "Strength, % vol",
	"tare_kg":       "Weight when empty, kg",
	"temp_c":        "Temperature, °C",
	"volume_l":      "Volume, L",
	"water_kg":      "Water, kg",
	"wood_area_m2":  "Wood in touch, m²",
	"wood_state":    "State of the wood",
}

var fieldName = regexp.MustCompile(`[a-z]+(_[a-z0-9]+)+`)

// sayProblem puts an error's field names into the words of the pages: the one
// that it begins with, and those that have an underscore wherever they stand.
func sayProblem(text string) string {
	if field, rest, ok := strings.Cut(text, ": "); ok {
		if words, known := fieldWords[field]; known {
			text = words + ": " + rest
		}
	}
	return fieldName.ReplaceAllStringFunc(text, func(name string) string {
		if words, known := fieldWords[name]; known {
			return "“" + words + "”"
		}
		return name
	})
}
