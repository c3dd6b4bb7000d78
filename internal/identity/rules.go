package identity

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"strings"
	"sync"
)

// Citation says where a rule stands and how well it is known.
type Citation struct {
	Section string `json:"section"`
	Status  string `json:"status"` // "seen" or "from memory", perhaps with a remark
	Source  string `json:"source"`
}

// FromMemory says that the text of the rule was not seen.
func (c Citation) FromMemory() bool { return strings.Contains(c.Status, "from memory") }

// Condition is one demand of a rule, in words and for the program.
type Condition struct {
	Text  string   `json:"text"`
	Test  string   `json:"test"`            // one of the tests of this package
	Limit float64  `json:"limit,omitempty"` // % vol, share, litres or years, by the test
	Words []string `json:"words,omitempty"` // materials, woods, additives or a place, by the test
	Wood  *Counts  `json:"wood,omitempty"`  // which time counts, for the test of years
	Citation
}

// Counts says which vessels' time counts as age.
type Counts struct {
	Woods      []string `json:"woods,omitempty"` // none: any wood
	NewCharred bool     `json:"new_charred,omitempty"`
	MostL      float64  `json:"most_l,omitempty"` // 0: any size
}

// Category is a name that a spirit may carry.
type Category struct {
	Name       string      `json:"name"`
	Title      string      `json:"title"`
	Conditions []Condition `json:"conditions"`
}

// AgeRule says how an age may be stated.
type AgeRule struct {
	Text      string  `json:"text"`
	Wood      Counts  `json:"wood"`
	MustBelow float64 `json:"must_below,omitempty"` // years below which the age has to be stated; 0: never
	// Once so many years in wood are reached, so many months elsewhere count too.
	ExtraAfter  float64 `json:"extra_after_years,omitempty"`
	ExtraMonths float64 `json:"extra_months,omitempty"`
	Citation
}

// Note is a rule that is shown and not tested.
type Note struct {
	Text string `json:"text"`
	Citation
}

// Jurisdiction is a country's or union's rules.
type Jurisdiction struct {
	Code       string     `json:"code"`
	Name       string     `json:"name"`
	Age        *AgeRule   `json:"age,omitempty"` // nil: no rule was found
	Categories []Category `json:"categories,omitempty"`
	Notes      []Note     `json:"notes,omitempty"`
}

//go:embed rules.json
var rulesFile []byte

// loaded reads the rules once; they are part of the program, and a test reads
// every one, so a failure is a fault in the build.
var loaded = sync.OnceValue(func() []Jurisdiction {
	rules, err := parseRules(rulesFile)
	if err != nil {
		panic("identity: " + err.Error())
	}
	return rules
})

// Jurisdictions returns all rules, in the order of the file. It must not be changed.
func Jurisdictions() []Jurisdiction { return loaded() }

// Find returns the jurisdiction of a code such as "US", in any case.
func Find(code string) (Jurisdiction, error) {
	var codes []string
	for _, j := range loaded() {
		if strings.EqualFold(j.Code, strings.TrimSpace(code)) {
			return j, nil
		}
		codes = append(codes, j.Code)
	}
	return Jurisdiction{}, fmt.Errorf("jurisdiction: %q: no rules are kept for it: there are %s", code, strings.Join(codes, ", "))
}

func parseRules(data []byte) ([]Jurisdiction, error) {
	decoder := json.NewDecoder(strings.NewReader(string(data)))
	decoder.DisallowUnknownFields()
	var rules []Jurisdiction
	if err := decoder.Decode(&rules); err != nil {
		return nil, fmt.Errorf("rules.json: %w", err)
	}
	for _, j := range rules {
		for _, category := range j.Categories {
			for _, condition := range category.Conditions {
				if tests[condition.Test] == nil {
					return nil, fmt.Errorf("rules.json: %s, %s: no test is called %q", j.Code, category.Name, condition.Test)
				}
				if (condition.Test == testYears || condition.Test == testStored) && condition.Wood == nil {
					return nil, fmt.Errorf("rules.json: %s, %s: %s does not say which wood", j.Code, category.Name, condition.Test)
				}
				if condition.Test == testSaid && len(condition.Words) != 1 {
					return nil, fmt.Errorf("rules.json: %s, %s: a question to the owner has one word", j.Code, category.Name)
				}
			}
		}
	}
	return rules, nil
}
