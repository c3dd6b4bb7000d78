package book

import (
	"cmp"
	"fmt"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
)

// Task is one thing that needs doing, with its reason.
type Task struct {
	Urgency int // larger comes first
	Kind    string
	Vessel  string // "" where it is about no vessel
	Place   string
	Plan    string // ID of the plan's entry, of one about a plan
	Title   string
	Reason  string
}

// The kinds of task.
const (
	TaskLeak   = "leak"
	TaskOdd    = "odd"
	TaskSample = "sample"
	TaskTopUp  = "top_up"
	TaskFloor  = "floor"
	TaskAim    = "aim"
	TaskBottle = "bottle"
)

// What is due when, by common practice.
const (
	topUpBelow      = 0.85 // of the capacity, in a jar or cask that is not being drawn down
	floorPct        = 40.0 // strength below which spirit loses its name in most places
	floorWithinDays = 365
	mostSampleTasks = 8
)

// Today lists what needs doing, most urgent first.
func (v *View) Today() []Task { return remember(v, "", "today", v.today) }

func (v *View) today() []Task {
	var tasks, samples []Task
	for _, line := range v.Stock() {
		if line.Empty() {
			continue
		}
		tasks = append(tasks, v.warnings(line)...)
		if t, due := v.sampleDue(line); due {
			samples = append(samples, t)
		}
	}
	byUrgency(samples)
	tasks = append(tasks, samples[:min(len(samples), mostSampleTasks)]...)
	tasks = append(tasks, v.aimTasks()...)
	tasks = append(tasks, v.readyTasks()...)
	tasks = append(tasks, v.planTasks()...)
	byUrgency(tasks)
	return v.withStakes(tasks)
}

func byUrgency(tasks []Task) {
	slices.SortStableFunc(tasks, func(a, b Task) int {
		return cmp.Or(cmp.Compare(b.Urgency, a.Urgency), cmp.Compare(a.Vessel, b.Vessel))
	})
}

func (v *View) warnings(line StockLine) []Task {
	var tasks []Task
	add := func(urgency int, kind, title, reason string) {
		tasks = append(tasks, Task{Urgency: urgency, Kind: kind, Vessel: line.Vessel, Place: line.Place, Title: title, Reason: reason})
	}
	if slices.Contains(line.Flags, loss.FlagLeak) {
		add(1000, TaskLeak, "Look for a leak", leakReason(line))
	}
	if slices.Contains(line.Flags, loss.FlagOutlier) && v.recentlyOdd(line) {
		add(600, TaskOdd, "Read again", "its last reading does not fit the others")
	}
	if fill := line.VolumeL / line.CapacityL; fill < topUpBelow && line.Kind == string(cellar.Jar) {
		add(int(300+100*(1-fill)), TaskTopUp, "Top up", fmt.Sprintf("it is %.0f %% full, so part of the wood stands dry", 100*fill))
	}
	if days, near := v.nearsFloor(line); near {
		add(500, TaskFloor, "Nearing 40 % vol", fmt.Sprintf("at its drift it falls to 40 %% vol in about %.0f days", days))
	}
	return tasks
}

// leakReason says what speaks for a leak. A leak that has just begun hardly
// shows in the yearly rate.
func leakReason(line StockLine) string {
	const clearly = 1.5 // times the rate of its like
	if line.RateVsKind >= clearly {
		return fmt.Sprintf("it loses %.1f times what its kind does, %.1f %% a year", line.RateVsKind, line.LossPctPerYear)
	}
	return "of late more leaves it than its wood lets through"
}

// nearsFloor says in how many days the strength falls to the floor, if that is soon.
func (v *View) nearsFloor(line StockLine) (days float64, near bool) {
	if line.StrengthPct <= floorPct || v.laterStrength(line.Vessel) > floorPct {
		return 0, false
	}
	now := dayNumber(v.At)
	day, reached := v.Model.Reaches(line.Vessel, loss.StrengthQuantity, floorPct, now)
	return day.Mean - now, reached
}

// laterStrength is the strength that is reckoned with a year from now, % vol.
func (v *View) laterStrength(code string) float64 {
	return remember(v, code, "later strength", func() float64 {
		later, _ := v.Model.State(code, dayNumber(v.At)+floorWithinDays)
		return later.StrengthPct.Mean
	})
}

// recentlyOdd says whether the latest look at a vessel was set aside.
func (v *View) recentlyOdd(line StockLine) bool {
	odd := v.Outliers(line.Vessel)
	for _, e := range slices.Backward(v.State.Vessels[line.Vessel].Events) {
		if e.Reading != nil || e.Content != nil {
			return odd[timeOfDay(dayNumber(e.Entry.HappenedAt))]
		}
	}
	return false
}

// sampleDue asks for a sample where the owner's rhythm does, those first where
// it would tell most.
func (v *View) sampleDue(line StockLine) (Task, bool) {
	rhythm, last := v.RhythmOf(cellar.VesselKind(line.Kind)), lastLook(line)
	days := int(v.On - last)
	if last == 0 || rhythm == 0 || days < rhythm {
		return Task{}, false
	}
	worth := v.sampleWorth(line.Vessel)
	reason := fmt.Sprintf("last looked at %d days ago", days)
	if worth >= 0.05 {
		reason += fmt.Sprintf("; a sample would narrow next year's estimate by %.0f %%", 100*worth)
	}
	return Task{Urgency: 100 + int(100*worth), Kind: TaskSample, Vessel: line.Vessel, Place: line.Place, Title: "Take a sample", Reason: reason}, true
}

// aimTasks lists the aims whose day has come.
func (v *View) aimTasks() []Task {
	var tasks []Task
	for _, aim := range v.Aims() {
		if aim.On > v.On {
			break
		}
		task := Task{Urgency: 400, Kind: TaskAim, Vessel: aim.Vessel, Place: v.State.Vessels[aim.Vessel].PlacedAt, Title: "Look again", Reason: sayAim(aim.Aim)}
		if aim.For == cellar.AimBottle {
			task.Kind, task.Title = TaskBottle, "Bottle it"
		}
		tasks = append(tasks, task)
	}
	return tasks
}
