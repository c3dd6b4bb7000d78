package identity

// State is what a condition came to.
type State string

// The states.
const (
	Met    State = "met"
	Broken State = "broken"
	Open   State = "unknown"
)

// Finding is one condition held against the facts.
type Finding struct {
	Condition Condition
	State     State
	Why       string // what was found, or what is missing
}

// CategoryReport is a name with its findings.
type CategoryReport struct {
	Name     string
	Title    string
	State    State // Broken if any is broken, else Open if any is unknown, else Met
	Findings []Finding
}

// Report is what a spirit may be called in one jurisdiction.
type Report struct {
	Jurisdiction string
	Age          AgeReport
	Categories   []CategoryReport
	Notes        []Note
	Closing      string // to be shown with every report
}

// Closing ends every report.
const Closing = "This is advice, not law, and rules change: check with your authority before you print a label."

// Judge holds the facts of a spirit against the rules of a jurisdiction.
func Judge(jurisdiction string, facts Facts) (Report, error) {
	rules, err := Find(jurisdiction)
	if err != nil {
		return Report{}, err
	}
	if err := facts.check(); err != nil {
		return Report{}, err
	}
	report := Report{Jurisdiction: rules.Name, Age: ageOf(rules.Age, facts), Notes: rules.Notes, Closing: Closing}
	for _, category := range rules.Categories {
		report.Categories = append(report.Categories, judgeCategory(category, facts))
	}
	return report, nil
}

func judgeCategory(category Category, facts Facts) CategoryReport {
	report := CategoryReport{Name: category.Name, Title: category.Title, State: Met}
	for _, condition := range category.Conditions {
		state, why := tests[condition.Test](condition, facts)
		report.Findings = append(report.Findings, Finding{condition, state, why})
		report.State = worse(report.State, state)
	}
	return report
}

// worse joins two states: broken outweighs unknown, unknown outweighs met.
func worse(a, b State) State {
	switch {
	case a == Broken || b == Broken:
		return Broken
	case a == Open || b == Open:
		return Open
	}
	return Met
}
