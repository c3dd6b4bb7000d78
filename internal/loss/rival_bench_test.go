package loss

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"strings"
	"testing"
)

// mixedEffects is the independent rival: a linear mixed-effects model of volume
// (as a share of the capacity) on time with intercept and slope by vessel, as
// R's package nlme fits it. It reads vessel,years,volume,strength on standard
// input and prints both forecasts for each vessel, in order of the codes.
const mixedEffects = `
suppressMessages(library(nlme))
d <- read.csv(file("stdin"))
k <- d[d$years <= 0, ]
to <- unique(d$vessel)
ahead <- function(column) {
  k$y <- k[[column]]
  fit <- lme(y ~ years, random = ~ years | vessel, data = k[!is.na(k$y), ],
             control = lmeControl(opt = "optim", returnObject = TRUE, maxIter = 200))
  predict(fit, data.frame(vessel = to, years = 2))
}
v <- ahead("volume"); q <- ahead("strength")
for (i in seq_along(to)) cat(v[i], q[i], "\n")
`

// BenchmarkAgainstMixedEffects wants R with nlme (Debian: r-base-core,
// r-cran-nlme) and reports the estimator's errors over those of the rival, on
// stores without draws and slips, which the rival could not express. Over all
// worlds together it must do better; where losses are straight in time and there
// are many samples, a straight line is hard to beat.
func BenchmarkAgainstMixedEffects(b *testing.B) {
	var all, allRival squaredErrors
	for _, w := range []*world{seasonalWorld(), idealWorld(), humidWorld(), randomWorld()} {
		b.Run(w.name, func(b *testing.B) {
			p := plan{world: w, casks: 30, sizes: []float64{50, 100, 200}, years: 4, samples: 10, least: 3, newWood: 0.3}
			var mine, rival squaredErrors
			for b.Loop() {
				for seed := range uint64(4) {
					s := simulate(p, 500+seed)
					model := Fit(s.stock)
					theirs := fitInR(b, s)
					for i, c := range s.casks {
						got, _ := model.State(c.vessel.Code, s.later[i].day)
						mine.add(c, s.later[i], got.VolumeL.Mean, got.StrengthPct.Mean)
						rival.add(c, s.later[i], theirs[i].volume*c.capacity, theirs[i].strength)
					}
				}
			}
			v, q := mine.ratios(rival)
			b.ReportMetric(v, "volume/lme")
			b.ReportMetric(q, "strength/lme")
			for i := range all {
				all[i] += mine[i]
				allRival[i] += rival[i]
			}
		})
	}
	if v, q := all.ratios(allRival); v >= 0.8 || q >= 1 {
		b.Errorf("beside the mixed-effects model: volume %.2f, strength %.2f", v, q)
	}
}

func fitInR(b *testing.B, s *store) []simPoint {
	b.Helper()
	var in strings.Builder
	in.WriteString("vessel,years,volume,strength\n")
	for _, c := range s.casks {
		for _, p := range c.points {
			volume := "NA"
			if !math.IsNaN(p.volume) {
				volume = fmt.Sprint(p.volume / c.capacity)
			}
			fmt.Fprintf(&in, "%s,%g,%s,%g\n", c.vessel.Code, (p.day-s.now)/daysPerYear, volume, p.strength)
		}
	}
	run := exec.Command("Rscript", "--vanilla", "-e", mixedEffects)
	run.Stdin = strings.NewReader(in.String())
	var out, trouble bytes.Buffer
	run.Stdout, run.Stderr = &out, &trouble
	if err := run.Run(); err != nil {
		b.Fatalf("Rscript (wanted: R with nlme): %v\n%s", err, trouble.String())
	}
	points := make([]simPoint, len(s.casks))
	for i := range points {
		if _, err := fmt.Fscan(&out, &points[i].volume, &points[i].strength); err != nil {
			b.Fatalf("forecast %d of %d: %v", i+1, len(points), err)
		}
	}
	return points
}
