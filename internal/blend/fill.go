package blend

import "fmt"

// Unfilled returns the ids of the sources that the plan file names without
// saying what is in them.
func (p *Plan) Unfilled() []string {
	var ids []string
	for i := range p.Sources {
		if p.Sources[i].given.unfilled {
			ids = append(ids, p.Sources[i].ID)
		}
	}
	return ids
}

// Fill completes a source from what the store knows of it. What the plan file
// states itself stays as it is; an id that the plan does not name, or that it
// states wholly, is an error. found.ID is not looked at. An empty vessel is no
// error: it is left out of the plan.
func (p *Plan) Fill(id string, found Source) error {
	for i := range p.Sources {
		s := &p.Sources[i]
		if s.ID != id {
			continue
		}
		if !s.given.unfilled {
			return fmt.Errorf("sources[%d] (%s): the plan file says what is in it; nothing to fill", i, id)
		}
		merged := s.completedFrom(found)
		merged.given.unfilled = false
		if err := merged.check(fmt.Sprintf("sources[%d]", i), true); err != nil {
			return err
		}
		*s = merged
		return nil
	}
	return fmt.Errorf("the plan has no source %q", id)
}

// completedFrom takes from the store what the plan file left out.
func (s *Source) completedFrom(found Source) Source {
	m := *s
	m.AvailableL, m.StrengthPct = found.AvailableL, found.StrengthPct
	m.VolumeSDL, m.StrengthSD = found.VolumeSDL, found.StrengthSD
	m.AgeDays = firstKnown(m.AgeDays, found.AgeDays)
	m.CostPerL = firstKnown(m.CostPerL, found.CostPerL)
	m.LossPctPerYear = firstKnown(m.LossPctPerYear, found.LossPctPerYear)
	m.Residue = firstKnown(m.Residue, found.Residue)
	if m.Shares == nil {
		m.Shares = found.Shares
	}
	if m.Scores == nil {
		m.Scores = found.Scores
	}
	return m
}

func firstKnown(a, b *float64) *float64 {
	if a != nil {
		return a
	}
	return b
}
