package cellar

// check holds tasting notes to their lengths and scores to 0 to 10.
func (s *Senses) check() error {
	if s == nil {
		return nil
	}
	for _, n := range []struct{ field, text string }{{"colour", s.Colour}, {"nose", s.Nose}, {"palate", s.Palate}} {
		if err := CheckNote(n.field, n.text); err != nil {
			return err
		}
	}
	if len(s.Scores) > MostScores {
		return invalid("scores", len(s.Scores), "at most %d", MostScores)
	}
	for name, score := range s.Scores {
		if err := CheckName("scores", name); err != nil {
			return err
		}
		if score < 0 || score > 10 {
			return invalid("scores", score, "the score of %s must be 0 to 10", name)
		}
	}
	return nil
}
