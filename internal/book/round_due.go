package book

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
)

// DueLine is a vessel as the next round sees it.
type DueLine struct {
	Vessel, Place string
	LastLook      cellar.Day // of the present filling; the day it was filled if nobody looked since
	Days          int        // since then
	Worth         float64    // by what fraction a sample would narrow next year's estimate
	Due           bool       // a round should go there
	Reasons       []string   // why; empty if it is not due
}

// Reason puts the reasons into one line.
func (l DueLine) Reason() string { return strings.Join(l.Reasons, "; ") }

// When a sample tells so much that it is worth a walk before its time.
const (
	worthAWalk    = 0.25 // of the width of next year's interval
	leastWaitDays = 30   // since the last look
)

// usualRhythm is days between looks where the owner said nothing: twice a year
// in wood, and inert vessels are left alone.
const usualRhythm = 180

// RhythmOf returns the days between two looks at a vessel of a kind, 0: never.
func (v *View) RhythmOf(kind cellar.VesselKind) int {
	if days, set := v.State.Rhythm[kind]; set {
		return days
	}
	if kind.Wooden() {
		return usualRhythm
	}
	return 0
}

// Due lists the vessels that hold something in the order in which they are
// passed, by place and row, each with what speaks for a look at it.
func (v *View) Due() []DueLine { return remember(v, "", "due", v.due) }

func (v *View) due() []DueLine {
	var lines []DueLine
	for _, line := range v.Stock() {
		if !line.Empty() {
			lines = append(lines, v.dueLine(line))
		}
	}
	slices.SortFunc(lines, func(a, b DueLine) int {
		return cmp.Or(compareRows(a.Place, b.Place), compareRows(a.Vessel, b.Vessel))
	})
	return lines
}

func (v *View) dueLine(line StockLine) DueLine {
	d := DueLine{Vessel: line.Vessel, Place: line.Place, LastLook: lastLook(line)}
	d.Days = int(v.On - d.LastLook)
	add := func(format string, args ...any) {
		d.Due = true
		d.Reasons = append(d.Reasons, fmt.Sprintf(format, args...))
	}
	if slices.Contains(line.Flags, loss.FlagLeak) {
		add("it may leak")
	}
	for _, aim := range v.AimsOf(line.Vessel) {
		if aim.On <= v.On && aim.For != cellar.AimBottle {
			add("%s", sayAim(aim.Aim))
		}
	}
	rhythm := v.RhythmOf(cellar.VesselKind(line.Kind))
	if rhythm > 0 && d.Days >= rhythm {
		add("last looked at %d days ago", d.Days)
	}
	d.Worth = v.sampleWorth(line.Vessel)
	if d.Worth >= worthAWalk && d.Days >= leastWaitDays && rhythm > 0 {
		add("a sample would narrow next year's estimate by %.0f %%", 100*d.Worth)
	}
	return d
}

// sampleWorth is the estimator's value of a full sample today.
func (v *View) sampleWorth(code string) float64 {
	return remember(v, code, "worth", func() float64 { return v.Model.SampleWorth(code, dayNumber(v.At)) })
}

// lastLook is the day of the last look in the present filling, or of the fill.
func lastLook(line StockLine) cellar.Day {
	last := cmp.Or(line.SampledOn, line.FilledOn)
	day, err := cellar.ParseDay(last)
	if err != nil {
		return 0
	}
	return day
}

// sayAim is an aim as a reason.
func sayAim(a *cellar.Aim) string {
	text := "to be looked at again from " + a.On.String()
	if a.For == cellar.AimBottle {
		text = "to be bottled from " + a.On.String()
	}
	if a.Words != "" {
		text += ": " + a.Words
	}
	return text
}

// compareRows compares names so that row 2 comes before row 10.
func compareRows(a, b string) int {
	for a != "" && b != "" {
		x, restA := piece(a)
		y, restB := piece(b)
		digits := isDigit(x[0]) && isDigit(y[0])
		if digits {
			if c := cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(x, y)); c != 0 {
				return c
			}
		} else if c := cmp.Compare(strings.ToLower(x), strings.ToLower(y)); c != 0 {
			return c
		}
		a, b = restA, restB
	}
	return cmp.Compare(len(a), len(b))
}

// piece cuts a run of digits, leading noughts taken off, or of anything else
// from the front of a name.
func piece(s string) (run, rest string) {
	end := 1
	for end < len(s) && isDigit(s[end]) == isDigit(s[0]) {
		end++
	}
	run = s[:end]
	if trimmed := strings.TrimLeft(run, "0"); isDigit(s[0]) && trimmed != "" {
		run = trimmed
	}
	return run, s[end:]
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
