package book_test

import (
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// A plan presses more and more as its day comes near and goes by, and never as a leak does.
func TestPlansPressAsTheirDayComesNear(t *testing.T) {
	h := stillhouse(t)
	h.kept(h.wish(10, "RYE"), "some day")
	spring := h.keptFor(h.wish(20, "RYE", "APPLE"), "spring", cellar.Date(2023, 4, 1))
	last := 0
	for _, c := range []struct{ on, says string }{
		{"2023-01-11", "wanted on 2023-04-01"}, {"2023-03-25", "wanted on 2023-04-01"}, {"2023-04-02", "which is over"},
	} {
		h.clock.on(c.on)
		h.must(h.See(book.Moment{}, func(v *book.View) error {
			plans := map[string]book.Task{}
			for _, task := range v.Today() {
				if task.Kind == book.TaskPlan {
					plans[task.Title] = task
				}
			}
			task := plans["spring"]
			if len(plans) != 2 || task.Plan != spring.ID || !strings.Contains(task.Reason, c.says) || !strings.HasPrefix(task.Reason, "20.00 L at 46.0 % vol from ") {
				t.Errorf("on %s Today has %+v", c.on, plans)
			}
			if task.Urgency <= last || task.Urgency < plans["some day"].Urgency || task.Urgency >= 1000 {
				t.Errorf("on %s its urgency is %d, before it was %d", c.on, task.Urgency, last)
			}
			last = task.Urgency
			return nil
		}))
	}
}
