package cellar

import (
	"strings"

	"golang.org/x/text/unicode/norm"
)

// likeness is a name with everything taken off that an eye does not tell
// apart: case, the width and the composition of letters, how many spaces, and
// whether a capital is of the Latin, the Greek or the Cyrillic alphabet. It is
// for comparing only; what was written is what is kept and shown.
func likeness(name string) string {
	name = strings.ToUpper(norm.NFKC.String(name))
	name = strings.Map(func(r rune) rune {
		if latin, ok := latinOf[r]; ok {
			return latin
		}
		return r
	}, name)
	return strings.Join(strings.Fields(name), " ")
}

// latinOf are the capitals of Greek and Cyrillic that look like Latin ones.
var latinOf = func() map[rune]rune {
	latin := make(map[rune]rune)
	for _, pair := range [][2]string{
		{"ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEZHIKMNOPTYX"},
		{"АВЕЅІЈКМНОРСТУХ", "ABESIJKMHOPCTYX"},
	} {
		to := []rune(pair[1])
		for i, from := range []rune(pair[0]) {
			latin[from] = to[i]
		}
	}
	return latin
}()

// likes remembers under which name something that looks so is known. Names of
// two things that look alike, which older journals may hold, find neither.
type likes map[string]string

func (l likes) add(written, name string) {
	if written == "" {
		return
	}
	key := likeness(written)
	if known, ok := l[key]; ok && known != name {
		name = ""
	}
	l[key] = name
}

// GrainSpelling is how the book first wrote a grain of this likeness, so that
// rye and Rye are one.
func (s *State) GrainSpelling(grain string) string {
	if first := s.grains[likeness(grain)]; first != "" {
		return first
	}
	return grain
}

// LooksTaken returns the vessel that a new code or maker's code would be taken
// for, "" if it looks like none but the vessel's own.
func (s *State) LooksTaken(written, own string) string {
	if written == "" {
		return ""
	}
	if v, ok := s.FindVessel(written); ok && v.Code != own {
		return v.Code
	}
	return ""
}
