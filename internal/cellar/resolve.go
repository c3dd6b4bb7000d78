package cellar

import (
	"time"
	"unicode"
	"unicode/utf8"

	"example.org/croze/internal/spirit"
)

// resolvers gives the way from a request to a fact, by kind.
var resolvers = map[string]func(*resolution) (Fact, error){
	"fill":     (*resolution).fill,
	"top_up":   (*resolution).topUp,
	"transfer": (*resolution).transfer,
	"sample":   (*resolution).sample,
	"draw":     (*resolution).draw,
	"spill":    (*resolution).spill,
	"reduce":   (*resolution).reduce,
	"blend":    (*resolution).blend,
	"bottle":   (*resolution).bottle,
	"empty":    (*resolution).empty,
	"move":     (*resolution).move,
	"note":     (*resolution).note,
	"void":     (*resolution).void,
	"rinse":    (*resolution).rinse,

	"round_skip": (*resolution).roundSkip,
	"aim":        (*resolution).aim,
	"relabel":    (*resolution).relabel,
}

// EntryKinds lists the kinds that a request can have, most used first.
var EntryKinds = []string{
	"sample", "fill", "draw", "top_up", "transfer", "reduce", "blend",
	"bottle", "empty", "rinse", "spill", "move", "note", "void",
	"round_skip", "aim", "relabel",
}

// resolution is one request on its way to a fact.
type resolution struct {
	Resolver
	Request
	vessel    *VesselState
	questions []Question
}

// Resolve works out the fact that a request states, and what is unlikely about
// it. It changes nothing. Whether the fact can have happened is for the fold to say.
func (r Resolver) Resolve(request Request) (Fact, []Question, error) {
	work := &resolution{Resolver: r, Request: request}
	resolve, ok := resolvers[request.Entry]
	if !ok {
		return nil, nil, invalid("entry", request.Entry, "not a kind of entry: use one of %v", EntryKinds)
	}
	if err := work.checkCommon(); err != nil {
		return nil, nil, err
	}
	fact, err := resolve(work)
	if err != nil {
		return nil, nil, err
	}
	return fact, work.questions, nil
}

func (w *resolution) checkCommon() error {
	if err := checkWhen(w.When, w.Now); err != nil {
		return err
	}
	if err := CheckNote("note", w.Note); err != nil {
		return err
	}
	if err := w.checkNumbers(); err != nil {
		return err
	}
	if err := w.Senses.check(); err != nil {
		return err
	}
	if w.Vessel == "" {
		return nil
	}
	v, ok := w.State.FindVessel(w.Vessel)
	if !ok {
		if _, _, err := ParseCode(w.Vessel); err != nil {
			return under("vessel", err)
		}
		return notFound("vessel", w.Vessel, "no such vessel is registered")
	}
	w.vessel = v
	return nil
}

func checkWhen(when, now time.Time) error {
	switch {
	case when.IsZero():
		return invalid("when", nil, "say when it happened")
	case when.Year() < EarliestYear:
		return invalid("when", when.Format(time.DateOnly), "before %d: is the year right?", EarliestYear)
	case isDate(when) && DayOf(when) <= DayOf(now): // today's date, east of Greenwich
	case when.After(now.Add(FutureMinutes * time.Minute)):
		return invalid("when", when.Format(time.RFC3339), "lies in the future")
	}
	return nil
}

// isDate says whether a time stands for a date alone: midnight UTC.
func isDate(t time.Time) bool {
	_, offset := t.Zone()
	return offset == 0 && t.Equal(t.Truncate(24*time.Hour))
}

func (w *resolution) checkNumbers() error {
	for _, n := range []struct {
		field     string
		value     *float64
		low, high float64 // low itself is out where it is 0 and positive is set
		positive  bool
		hint      string
	}{
		{"volume_l", w.VolumeL, 0, LargestVolumeL, true, ""},
		{"drawn_l", w.DrawnL, 0, LargestVolumeL, true, ""},
		{"gross_kg", w.GrossKg, 0, LargestMassKg, true, ""},
		{"water_kg", w.WaterKg, 0, LargestMassKg, true, ""},
		{"strength_pct", w.StrengthPct, 0, 100, false, " (is it proof?)"},
		{"label_pct", w.LabelPct, 0, 100, false, ""},
		{"temp_c", w.TempC, float64(spirit.ColdestLiquid), float64(spirit.WarmestLiquid), false, " (is it °F?)"},
	} {
		if n.value == nil {
			continue
		}
		v := *n.value
		switch {
		case n.field == "volume_l" && v > 0 && v < LeastVolumeL:
			return invalid(n.field, v, "less than a millilitre: is the decimal point right?")
		case n.positive && !(v > 0 && v <= n.high):
			return invalid(n.field, trimmed(v), "must be above 0 and at most %s", trimmed(n.high))
		case !n.positive && !(v >= n.low && v <= n.high):
			return invalid(n.field, trimmed(v), "must be %s to %s%s", trimmed(n.low), trimmed(n.high), n.hint)
		}
	}
	return nil
}

// CheckName holds a name to the form that codes, batches, places and woods may
// have: some visible text without control characters, not too long.
func CheckName(field, name string) error {
	switch {
	case name == "":
		return invalid(field, nil, "it has no name")
	case utf8.RuneCountInString(name) > LongestName:
		return invalid(field, beginning(name), "longer than %d characters", LongestName)
	case !utf8.ValidString(name):
		return invalid(field, name, "not UTF-8 text")
	case name == "." || name == "..":
		return invalid(field, name, "no page could have this address: use letters or digits")
	}
	for _, r := range name {
		if !unicode.IsPrint(r) {
			return invalid(field, name, "holds a character that cannot be printed")
		}
	}
	return nil
}

// CheckNote holds free text to its length; line breaks are welcome.
func CheckNote(field, text string) error {
	switch {
	case utf8.RuneCountInString(text) > LongestNote:
		return invalid(field, beginning(text), "longer than %d characters", LongestNote)
	case !utf8.ValidString(text):
		return invalid(field, text, "not UTF-8 text")
	}
	return nil
}

// beginning is what is quoted of a text that is too long.
func beginning(text string) string {
	const shown = 20
	runes := []rune(text)
	return string(runes[:min(shown, len(runes))]) + "…"
}

// needVessel says that the request must name a vessel.
func (w *resolution) needVessel() error {
	if w.vessel == nil {
		return invalid("vessel", nil, "say which vessel")
	}
	return nil
}

// needFilled also says that it must hold something.
func (w *resolution) needFilled() error {
	if err := w.needVessel(); err != nil {
		return err
	}
	if !w.vessel.filled {
		return refused("vessel", w.Vessel, "it is empty on %s: only a fill can come next", DayOf(w.When))
	}
	return nil
}

// source finds what `from` means.
func (w *resolution) source(from string) (Account, error) {
	class, name := Account(from).Split()
	switch class {
	case "batch":
		if w.State.Batches[name] == nil {
			return "", notFound("from", name, "no such batch is registered")
		}
		return BatchAccount(name), nil
	case "vessel":
		v, ok := w.State.FindVessel(name)
		if !ok {
			return "", notFound("from", name, "no such vessel is registered")
		}
		return VesselAccount(v.Code), nil
	}
	v, isVessel := w.State.FindVessel(from)
	_, isBatch := w.State.Batches[from]
	switch {
	case isVessel && isBatch:
		return "", invalid("from", from, "a batch and a vessel have this name: write batch:%s or vessel:%s", from, from)
	case isVessel:
		return VesselAccount(v.Code), nil
	case isBatch:
		return BatchAccount(from), nil
	}
	if _, _, err := ParseCode(from); err != nil {
		return "", under("from", err)
	}
	return "", notFound("from", from, "no batch or vessel has this name")
}
