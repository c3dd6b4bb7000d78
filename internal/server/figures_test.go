package server

import "testing"

func TestFigures(t *testing.T) {
	for said, want := range map[string]string{
		sayFigure("%+.2f", -0.001): "0.00", sayFigure("%+.2f", -0.42): "-0.42", sayFigure("%.1f", 61.96): "62.0",
		saySpread(1, 0.3): "0.3", saySpread(1, 0.04): "0.04", saySpread(2, 0.004): "0.004", saySpread(1, 0): "0.00",
		sayShare(0.004): "under 1 %", sayShare(0): "0 %", sayShare(0.924): "92 %",
	} {
		if said != want {
			t.Errorf("it says %q, want %q", said, want)
		}
	}
}
