package book

import "fmt"

// The kinds of task that come from what a vessel was to come to.
const (
	TaskReady = "ready"
	TaskPast  = "past"
)

// readyTasks lists the vessels that have come to what was asked of them, and
// those that are past it.
func (v *View) readyTasks() []Task {
	var tasks []Task
	for _, r := range v.Readiness() {
		switch r.Standing {
		case Past:
			tasks = append(tasks, Task{Urgency: 450, Kind: TaskPast, Vessel: r.Vessel, Place: r.Place, Title: "Past what you asked of it", Reason: r.Why()})
		case Ready:
			tasks = append(tasks, Task{Urgency: 350, Kind: TaskReady, Vessel: r.Vessel, Place: r.Place, Title: "Ready", Reason: r.Why()})
		}
	}
	return tasks
}

// withStakes adds to the reasons what another year would cost, where the owner
// has said what a litre is worth and it is more than small change.
func (v *View) withStakes(tasks []Task) []Task {
	const smallChange = 0.005 // of what the content is worth
	for i := range tasks {
		t := &tasks[i]
		if t.Kind != TaskLeak && t.Kind != TaskPast && t.Kind != TaskReady && t.Kind != TaskFloor {
			continue
		}
		year := v.AnotherYear(t.Vessel)
		worth := v.ValuePerL(t.Vessel) * v.StockLine(t.Vessel).VolumeL
		if year.Valued && -year.Value > smallChange*worth {
			t.Reason += fmt.Sprintf("; another year costs %.0f of the %.0f that it is worth", -year.Value, worth)
		}
	}
	return tasks
}
