package book_test

import (
	"math"
	"slices"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// The demo's twins are found without being told, and compared day by day.
func TestTwinsAreProposedAndCompared(t *testing.T) {
	h := demoHouse(t)
	story := demoStory(t)
	var proposed []book.Proposal
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		proposed = v.Proposals()
		return nil
	}))
	for _, twins := range story.Twins {
		found := slices.ContainsFunc(proposed, func(p book.Proposal) bool {
			return slices.Contains(p.Vessels, twins[0]) && slices.Contains(p.Vessels, twins[1])
		})
		if !found {
			t.Errorf("the twins %v are not proposed among %+v", twins, proposed)
		}
	}
	twins := slices.Clone(story.Twins[0])
	e, err := h.SetUpTrial("", "keeper", cellar.Trial{Name: "cask and staves", Vessels: twins})
	h.must(err)
	if again, err := h.SetUpTrial(e.ID, "keeper", cellar.Trial{Name: "cask and staves", Vessels: twins}); err != nil || again.ID != e.ID {
		t.Errorf("sent twice: %v, %v", again.ID, err)
	}
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		c, err := v.Compare(twins)
		if err != nil {
			return err
		}
		last := len(c.Days) - 1
		for _, one := range c.Vessels {
			want := v.StockLine(one.Code)
			if one.AgeDays == c.Days[last] && math.Abs(one.At[last].Strength.Mean-want.StrengthPct) > 0.2 {
				t.Errorf("%s ends at %.2f %% vol, the stock says %.2f", one.Code, one.At[last].Strength.Mean, want.StrengthPct)
			}
			for i := 1; i <= last; i++ {
				if one.At[i].LostPct.Mean < one.At[i-1].LostPct.Mean || one.At[i].Summed <= one.At[i-1].Summed {
					t.Errorf("%s: after %d days less is lost or met wood than before", one.Code, c.Days[i])
				}
			}
		}
		cask, jar := c.Vessels[0], c.Vessels[1]
		if !(jar.Gap.Loss.High < 0) || cask.Gap.Loss.Mean != 0 {
			t.Errorf("a jar loses less than a cask: %+v", jar.Gap.Loss)
		}
		if len(c.Words) == 0 {
			t.Error("no scores are compared")
		}
		return nil
	}))
	for want, trial := range map[string]cellar.Trial{
		"vessels": {Name: "x", Vessels: []string{"NONE", twins[0]}},
		"name":    {Vessels: twins},
	} {
		if _, err := h.SetUpTrial("", "keeper", trial); err == nil {
			t.Errorf("%s: it was set up", want)
		}
	}
}

// A filling's wood contact by hand: constant content, area over it, times years.
func TestContactByHand(t *testing.T) {
	h := newHouse(t)
	h.batch("B", "2020-01-01", 100, 60)
	_, err := h.RegisterNewVessel("", "keeper", cellar.Vessel{Code: "J", Kind: cellar.Jar, CapacityL: 10, Wood: "oak", WoodAreaM2: 0.05, Place: "loft"})
	h.must(err)
	h.clock.on("2021-01-02")
	h.does("2020-01-02", cellar.Request{Entry: "fill", Vessel: "J", From: "B", VolumeL: ptr(9.0)})
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		now, summed, known := v.ContactOf("J")
		if want := 500 / v.StockLine("J").VolumeL; !known || math.Abs(now-want) > 1e-9 {
			t.Errorf("500 cm² are %.2f cm² a litre, want %.2f", now, want)
		}
		if want := 500 / 9.0; math.Abs(summed-want) > 0.03*want {
			t.Errorf("a year of it is %.2f, want about %.2f", summed, want)
		}
		return nil
	}))
}

func TestWarmTrialsByName(t *testing.T) {
	h := newHouse(t)
	h.batch("B", "2020-01-01", 100, 60)
	warm := cellar.WarmTrial{Name: "W", VolumeL: 0.5, Hours: 48, TempC: 45}
	h.must(h.RecordWarmTrial("", "keeper", "B", warm))
	h.must(h.RecordWarmTrial("", "keeper", "batch:B", warm))
	if err := h.RecordWarmTrial("", "keeper", "none", warm); cellar.KindOf(err) != cellar.NotFound {
		t.Errorf("of nothing: %v", err)
	}
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		if n := len(v.State.Desk.Warm); n != 2 {
			t.Errorf("%d warm trials", n)
		}
		return nil
	}))
}
