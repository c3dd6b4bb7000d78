package server

import "fmt"

// sayP writes a p-value so that a small one is not shown as nothing.
func sayP(p float64) string {
	if p < 0.0001 {
		return "less than 0.0001"
	}
	if p < 0.01 {
		return fmt.Sprintf("%.4f", p)
	}
	return fmt.Sprintf("%.3f", p)
}

// RiskPct is the risk chosen beforehand, in per cent.
func (p tastingPage) RiskPct() float64 { return 100 * p.Plan.Alpha }
