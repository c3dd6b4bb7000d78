package book

import (
	"fmt"
	"strings"
)

// TaskPlan is the kind of a task about a plan that waits to be made.
const TaskPlan = "plan"

// planPresses is how many days before it is wanted a plan begins to press.
const planPresses = 14

// planTasks lists the plans that wait, the more pressing the nearer their day is.
func (v *View) planTasks() []Task {
	var tasks []Task
	for _, p := range v.PlansWaiting() {
		task := Task{Urgency: 250, Kind: TaskPlan, Plan: p.Entry.ID, Title: p.Name, Reason: planReason(p)}
		switch days := p.Wanted - v.On; {
		case p.Wanted == 0 || days > planPresses:
		case days < 0:
			task.Urgency = 700
			task.Reason += ", which is over"
		default:
			task.Urgency = 550
		}
		tasks = append(tasks, task)
	}
	return tasks
}

func planReason(p PlanLine) string {
	var from []string
	for _, d := range p.Draws {
		from = append(from, d.Vessel)
	}
	reason := fmt.Sprintf("%.2f L at %.1f %% vol", p.VolumeL, p.StrengthPct)
	if len(from) > 0 {
		reason += " from " + strings.Join(from, ", ")
	}
	if p.Wanted != 0 {
		reason += "; wanted on " + p.Wanted.String()
	}
	return reason
}
