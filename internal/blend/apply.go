package blend

import "fmt"

// Apply makes a change to a plan, as found in Nearest. The plan given is left
// as it is. A change that the plan has no place for is an error.
func Apply(p Plan, c Change) (Plan, error) {
	if err := p.ready(); err != nil {
		return p, err
	}
	changed := copyPlan(&p)
	q := &inquiry{plan: &p}
	for _, w := range q.respelled() {
		if w.path != c.Path {
			continue
		}
		switch {
		case c.To != nil && w.set != nil:
			w.set(&changed, *c.To)
		case c.To == nil && w.kind != volumeWish && w.kind != strengthWish:
			w.drop(&changed, &terms{})
		default:
			return p, fmt.Errorf("%s: this change needs a number to change to", c.Path)
		}
		for i := range changed.Sources {
			changed.Sources[i].given.wholeLeast = 0 // whole is all but keep_l again
		}
		return changed, changed.Check()
	}
	return p, fmt.Errorf("%s: the plan has no such wish", c.Path)
}
