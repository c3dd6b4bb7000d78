package blend

import (
	"fmt"
	"strings"
)

// Problem is one thing wrong with a plan: where in the JSON, and what to do.
type Problem struct {
	Path   string // as in sources[2].strength_pct
	Reason string // names the value
}

func (p Problem) String() string {
	if p.Path == "" {
		return p.Reason
	}
	return p.Path + ": " + p.Reason
}

// InvalidPlan is the error of a plan that cannot be worked on, with every problem found.
type InvalidPlan struct{ Problems []Problem }

// Error gives one problem to a line.
func (e *InvalidPlan) Error() string {
	lines := make([]string, len(e.Problems))
	for i, p := range e.Problems {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// problems gathers them; most is how many are kept, since one slip can repeat
// in every source.
type problems struct{ list []Problem }

const mostProblems = 50

func (p *problems) add(path, format string, values ...any) {
	if len(p.list) < mostProblems {
		p.list = append(p.list, Problem{path, fmt.Sprintf(format, values...)})
	}
}

func (p *problems) err() error {
	if len(p.list) == 0 {
		return nil
	}
	return &InvalidPlan{p.list}
}
