package server

import (
	"fmt"
	"html/template"
	"slices"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/picture"
)

type reviewPage struct {
	Page
	Profile     template.HTML
	Years       []book.ProfileYear
	Bands       []string
	Plans       int // that wait
	Filled      int // vessels that hold something
	League      template.HTML
	Lines       []book.LeagueLine
	Drift       template.HTML
	By          string
	Places      []placePicture
	Unread      int // vessels that do not rest on the present estimate
	TooMany     int // vessels beyond what a map shows; 0: none
	LeagueShown int
}

// What a picture bears before it becomes noise.
const (
	mostOnMap    = 600
	mostInLeague = 30
	mostDrifts   = 300
)

// review shows the pictures of the whole stock with their numbers.
func (s *Server) review(c *fiber.Ctx) error {
	p := reviewPage{Page: s.page(c, "Pictures of the stock", "vessels"), Bands: bandWords(), By: c.Query("by", "loss")}
	if !slices.Contains(tints, p.By) {
		return &cellar.Problem{Kind: cellar.Invalid, Field: "by", Value: p.By, Reason: "use loss, age or strength"}
	}
	err := s.seeSoon(c, func(v *book.View) error {
		p.Years, p.Plans = v.AgeProfile(), len(v.PlansWaiting())
		p.Filled = v.FilledCount()
		p.Profile = profilePicture(p.Years, p.Plans > 0)
		p.Lines, p.Unread = v.League(mostInLeague), v.UnreadRows()
		p.League = leaguePicture(p.Lines)
		if len(v.State.Vessels) <= mostDrifts && v.Model != nil {
			p.Drift = stockMap(v)
		}
		if len(v.State.Vessels) > mostOnMap {
			p.TooMany = len(v.State.Vessels)
			return nil
		}
		p.Places = placePictures(v.PlaceMap(), p.By)
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "review", p)
}

func bandWords() []string {
	words := make([]string, book.ProfileBands)
	for i := range words {
		words[i] = fmt.Sprint(i)
	}
	words[len(words)-1] += "+"
	return words
}

// profilePicture draws the profile now, in five and in ten years.
func profilePicture(years []book.ProfileYear, plans bool) template.HTML {
	b := picture.Bars{
		Title: "Pure alcohol by years in wood, now and later", Bands: bandWords(),
		Words: "Bars are litres of pure alcohol by whole years in wood: now, in five and in ten years. Outlines, where they are drawn, are without the plans that wait.",
	}
	for _, year := range []int{0, 5, book.ProfileYears} {
		y := years[year]
		strip := picture.Strip{Words: fmt.Sprintf("In %d years", year), Values: y.Bands[:]}
		if year == 0 {
			strip.Words = "Now"
		}
		if plans {
			strip.Values, strip.Beside = y.Planned[:], y.Bands[:]
		}
		b.Strips = append(b.Strips, strip)
	}
	return picture.BarsChart(b)
}

func leaguePicture(lines []book.LeagueLine) template.HTML {
	l := picture.League{
		Title: "Loss against its like", Unit: "times what a vessel of its kind, size and place loses", Usual: 1,
		Words: "One line for a vessel: the dot is its loss over the usual, the bar holds it nine times in ten, the upright line is the usual.",
	}
	for _, line := range lines {
		l.Rows = append(l.Rows, picture.Whisker{
			Name: line.Vessel, Mean: line.Rate, Low: line.Low, High: line.High, Marked: slices.Contains(line.Flags, "leak_suspected"),
			Words: fmt.Sprintf("%.1f × · %.1f %% a year", line.Rate, line.Loss.Mean),
		})
	}
	if len(l.Rows) == 0 {
		return ""
	}
	return picture.LeagueChart(l)
}
