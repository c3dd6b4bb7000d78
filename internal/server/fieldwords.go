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
	"code":          "Code",
	"days":          "Days between looks",
	"for":           "To",
	"on":            "On",
	"photo":         "Photo",
	"stops":         "Vessels",
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
	"instrument":    "Hydrometer",
	"kind":          "Kind",
	"label_pct":     "Strength on the label, % vol",
	"lot":           "Lot code",
	"made_on":       "Made on",
	"maker_code":    "Maker's code",
	"max_vessels":   "At most so many vessels",
	"min_age_years": "Youngest part at least, years",
	"note":          "Note",
	"place":         "Place",
	"reading_pct":   "Reading",
	"scale":         "The reading is",
	"strength":      "Reading",
	"strength_pct":  "Strength, % vol",
	"tare_kg":       "Weight when empty, kg",
	"temp_c":        "Temperature, °C",
	"volume_l":      "Volume, L",
	"water_kg":      "Water, kg",
	"when":          "When",
	"wood":          "Wood",
	"wood_area_m2":  "Wood in touch, m²",
	"wood_state":    "State of the wood",
}

var fieldName = regexp.MustCompile(`[a-z]+(_[a-z0-9]+)+`)

// sayProblem puts an error's field names into the words of the pages: those
// before the value, and those with an underscore wherever they stand.
func sayProblem(text string) string {
	parts := strings.Split(text, ": ")
	for i, part := range parts {
		if strings.HasPrefix(part, `"`) {
			break
		}
		if words, known := fieldWords[part]; known {
			parts[i] = words
		}
	}
	return fieldName.ReplaceAllStringFunc(strings.Join(parts, ": "), func(name string) string {
		if words, known := fieldWords[name]; known {
			return "“" + words + "”"
		}
		return name
	})
}
