package identity

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.org/croze/internal/published"
)

// A condition that is not marked as from memory stands in the table of what was
// seen, with its number.
func TestSeenConditionsStandInTheTable(t *testing.T) {
	rows := published.Rows(t, "law_age_type.csv")
	for _, j := range Jurisdictions() {
		for _, category := range j.Categories {
			for _, c := range category.Conditions {
				if c.Section == "" || c.Source == "" || c.Text == "" {
					t.Errorf("%s, %s: a condition without text, section or source: %+v", j.Code, category.Name, c)
				}
				if !c.FromMemory() && !slices.ContainsFunc(rows, func(row published.Row) bool { return carries(row, c) }) {
					t.Errorf("%s, %s: %q (%s) is marked %q and not in the table with its number", j.Code, category.Name, c.Text, c.Section, c.Status)
				}
			}
		}
	}
}

// carries says whether a row is the one that a condition was taken from.
func carries(row published.Row, c Condition) bool {
	if row["section"] != c.Section || !strings.HasPrefix(row["status"], "seen") {
		return false
	}
	if c.Limit == 0 {
		return true
	}
	limit := c.Limit
	if c.Test == "share_at_least" {
		limit *= 100
	}
	printed := strconv.FormatFloat(limit, 'f', -1, 64)
	words := strings.FieldsFunc(row["rule"]+" "+row["number"], func(r rune) bool { return r == ' ' || r == ';' || r == '(' || r == ')' || r == ',' })
	return slices.Contains(words, printed)
}

func TestAgesAndNotesAreCited(t *testing.T) {
	for _, j := range Jurisdictions() {
		if j.Age != nil && (j.Age.Section == "" || j.Age.Source == "" || j.Age.Status == "") {
			t.Errorf("%s: the age rule is not cited: %+v", j.Code, j.Age)
		}
		for _, note := range j.Notes {
			if note.Section == "" || note.Source == "" || note.Status == "" {
				t.Errorf("%s: a note is not cited: %+v", j.Code, note)
			}
		}
	}
}

func TestEveryJurisdictionOfTheTableIsThere(t *testing.T) {
	for _, code := range []string{"US", "EU", "UK", "CA", "AU", "NZ", " us "} {
		if _, err := Find(code); err != nil {
			t.Error(err)
		}
	}
	if _, err := Find("XX"); err == nil || !strings.Contains(err.Error(), "US, EU, UK, CA, AU, NZ") {
		t.Errorf("%v; want an error that lists the codes", err)
	}
}

func TestWrongRulesAreRefused(t *testing.T) {
	for data, reason := range map[string]string{
		`{`:                         "rules.json",
		`[{"code":"X","colour":1}]`: "colour",
		`[{"code":"X","categories":[{"name":"n","conditions":[{"test":"nose"}]}]}]`:                    `"nose"`,
		`[{"code":"X","categories":[{"name":"n","conditions":[{"test":"years_in_wood"}]}]}]`:           "which wood",
		`[{"code":"X","categories":[{"name":"n","conditions":[{"test":"answered_with_yes"}]}]}]`:       "one word",
		`[{"code":"X","categories":[{"name":"n","conditions":[{"test":"stored_in","limit":"two"}]}]}]`: "rules.json",
	} {
		if _, err := parseRules([]byte(data)); err == nil || !strings.Contains(err.Error(), reason) {
			t.Errorf("%s: %v; want an error saying %s", data, err, reason)
		}
	}
}

// The figures in the cautions are those of the published rows.
func TestFiguresOfCautionsArePublished(t *testing.T) {
	value := map[string]string{}
	for _, row := range published.Rows(t, "safety.csv") {
		value[row["topic"]] = row["value"]
	}
	air := ""
	for _, caution := range Cautions(60, "") {
		if caution.Topic == "air" {
			air = caution.Text
		}
	}
	for _, want := range []string{
		"at most " + value["occupational limit (NIOSH REL, OSHA PEL)"] + " ppm", "at " + value["IDLH"] + " ppm",
		"From " + value["lower explosive limit"] + " to " + value["upper explosive limit"] + " % of vapour",
	} {
		if !strings.Contains(air, want) {
			t.Errorf("the caution on air lacks the published %q: %s", want, air)
		}
	}
}

func TestCautions(t *testing.T) {
	texts := func(cautions []Caution) (all string) {
		for _, caution := range cautions {
			if caution.Section == "" || caution.Source == "" || caution.Status == "" {
				t.Errorf("a caution is not cited: %+v", caution)
			}
			all += caution.Text + "\n"
		}
		return all
	}
	// 62.4 % vol is 54.5 % by mass: the published row of 60 % by mass says 22 °C.
	strong := texts(Cautions(62.4, "us"))
	for _, want := range []string{
		"Spirit of 62.4 % vol gives off vapour that lights from about 22 °C", "Ventilate", "Never climb", "brim-full",
		"Discard the foreshots", "licence", "In the United States",
	} {
		if !strings.Contains(strong, want) {
			t.Errorf("the cautions lack %q:\n%s", want, strong)
		}
	}
	if strings.Contains(strong, "United Kingdom") {
		t.Error("another jurisdiction's caution is given")
	}
	// Published: 2.9 % from 10 to 40 °C at 60 % by mass, which is 67.7 % vol.
	if !strings.Contains(texts(Cautions(67.7, "")), "it grows by 2.9 % from 10 to 40 °C") {
		t.Error("the growth at 60 % by mass is not the published 2.9 %")
	}
	weak := texts(Cautions(3, ""))
	if strings.Contains(weak, "lights from about") || !strings.Contains(weak, "Ventilate") {
		t.Errorf("weak spirit:\n%s", weak)
	}
	again := texts(Cautions(62.4, "us"))
	if again != strong {
		t.Error("asking twice gives two answers")
	}
}
