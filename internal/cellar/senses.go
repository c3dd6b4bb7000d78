package cellar

// photoLength is that of a SHA-256 sum in hexadecimal digits.
const photoLength = 64

// IsPhoto says whether a name is of the form that pictures are kept under: a
// SHA-256 sum in small hexadecimal digits.
func IsPhoto(name string) bool {
	if len(name) != photoLength {
		return false
	}
	for _, c := range []byte(name) {
		if !isDigit(c) && (c < 'a' || c > 'f') {
			return false
		}
	}
	return true
}

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
	if s.Taster != "" {
		if err := CheckName("taster", s.Taster); err != nil {
			return err
		}
	}
	if s.Photo != "" && !IsPhoto(s.Photo) {
		return invalid("photo", beginning(s.Photo), "not the sum of a picture: 64 hexadecimal digits")
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
