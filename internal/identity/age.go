package identity

import (
	"fmt"
	"math"
)

// AgeReport is the age statement that a jurisdiction allows.
type AgeReport struct {
	State     State  // Met: a statement of Years is allowed; Broken: none; Open: depends on what is not known
	Years     int    // whole years that may surely be stated
	Days      int    // of the youngest part, that surely count
	MayBeDays int    // and with everything that may count
	Must      bool   // an age has to be stated
	Text      string // in a sentence
	Rule      AgeRule
}

// ageOf works out the statement for the youngest part.
func ageOf(rule *AgeRule, facts Facts) AgeReport {
	if rule == nil {
		return AgeReport{State: Open, Text: "No rule on ages was found for this jurisdiction."}
	}
	if len(facts.Parts) == 0 {
		return AgeReport{State: Open, Rule: *rule, Text: "How long it lay in wood is not known."}
	}
	sure, perhaps := youngest(rule.Wood, facts)
	if rule.ExtraMonths > 0 && reached(sure, rule.ExtraAfter) == Met {
		sure += min(elsewhere(rule.Wood, facts), int(math.Ceil(rule.ExtraMonths*(daysOfYear+0.25)/12)))
		perhaps = max(perhaps, sure)
	}
	report := AgeReport{Rule: *rule, Days: sure, MayBeDays: perhaps, Years: wholeYears(sure)}
	report.Must = rule.MustBelow > 0 && reached(sure, rule.MustBelow) != Met
	switch {
	case report.Years > 0:
		report.State, report.Text = Met, fmt.Sprintf("An age of up to %s may be stated.", spell(float64(report.Years)))
	case wholeYears(perhaps) > 0:
		report.State, report.Text = Open, fmt.Sprintf("No whole year surely counts; up to %d if all that is not known of the vessels is as it should be.", wholeYears(perhaps))
	default:
		report.State, report.Text = Broken, fmt.Sprintf("No age in years may be stated: the youngest part has %d days that count.", sure)
	}
	if report.Must {
		report.Text += fmt.Sprintf(" Whisky below %s has to state its age.", spell(rule.MustBelow))
	}
	return report
}

// wholeYears counts years that are reached on any calendar.
func wholeYears(days int) int {
	count := int(math.Floor(float64(days) / daysOfYear))
	for count > 0 && reached(days, float64(count)) != Met {
		count--
	}
	return count
}

// elsewhere is the least of any part's days in vessels whose time does not count as wood.
func elsewhere(counts Counts, facts Facts) int {
	least := -1
	for _, part := range facts.Parts {
		days := 0
		for _, stay := range part.Stays {
			if counts.stay(stay) == Broken {
				days += stay.Days
			}
		}
		if least < 0 || days < least {
			least = days
		}
	}
	return max(least, 0)
}
