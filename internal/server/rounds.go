package server

import (
	"cmp"
	"net/url"
	"slices"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// finishedShown is how many finished rounds the list has.
const finishedShown = 6

type roundsPage struct {
	Page
	Open     []book.RoundLine
	Finished []book.RoundLine
	Due      []duePlace
	Count    int // of the vessels that are due
	Others   []duePlace
	Rhythm   []rhythmField
	ID       string
	Name     string
	Aims     []cellar.Aimed
	Problem  string
}

// duePlace is the vessels of one place in the order in which they are passed.
type duePlace struct {
	Place string
	Lines []book.DueLine
}

type rhythmField struct {
	Kind cellar.VesselKind
	Days int
}

func (s *Server) rounds(c *fiber.Ctx) error { return s.showRounds(c, nil) }

func (s *Server) showRounds(c *fiber.Ctx, problem error) error {
	p := roundsPage{Page: s.page(c, "Rounds", "rounds"), ID: s.book.NewID()}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem, p.Name = said, cmp.Or(c.FormValue("name"), p.Name)
	if err := s.book.See(book.Moment{}, p.fill); err != nil {
		return err
	}
	return s.render(c, "rounds", p)
}

func (p *roundsPage) fill(v *book.View) error {
	for _, r := range v.Rounds() {
		switch {
		case !r.Finished():
			p.Open = append(p.Open, r)
		case len(p.Finished) < finishedShown:
			p.Finished = append(p.Finished, r)
		}
	}
	for _, line := range v.Due() {
		if line.Due {
			p.Due, p.Count = appendDue(p.Due, line), p.Count+1
		} else {
			p.Others = appendDue(p.Others, line)
		}
	}
	for _, kind := range cellar.VesselKinds {
		p.Rhythm = append(p.Rhythm, rhythmField{kind, v.RhythmOf(kind)})
	}
	p.Aims = v.Aims()
	if p.Name == "" {
		p.Name = "Round of " + v.On.String()
	}
	return nil
}

// appendDue puts a vessel to those of its place; they come in walking order.
func appendDue(places []duePlace, line book.DueLine) []duePlace {
	if n := len(places); n > 0 && places[n-1].Place == line.Place {
		places[n-1].Lines = append(places[n-1].Lines, line)
		return places
	}
	return append(places, duePlace{line.Place, []book.DueLine{line}})
}

func (s *Server) beginRound(c *fiber.Ctx) error {
	f := &form{c: c}
	e, err := s.book.BeginRound(f.text("id"), s.who(c), f.text("name"), f.texts("vessel"))
	if err != nil {
		return s.showRounds(c, err)
	}
	return c.Redirect("/rounds/"+e.ID+"?done=begun", fiber.StatusSeeOther)
}

// texts reads a field that may be there several times.
func (f *form) texts(field string) []string {
	var texts []string
	for _, value := range f.c.Request().PostArgs().PeekMulti(field) {
		texts = append(texts, string(value))
	}
	return texts
}

func (s *Server) setRhythm(c *fiber.Ctx) error {
	f := &form{c: c}
	days := make(map[cellar.VesselKind]int)
	for _, kind := range cellar.VesselKinds {
		if f.text("days_"+string(kind)) != "" {
			days[kind] = f.count("days_" + string(kind))
		}
	}
	err := f.err
	if err == nil {
		err = s.book.SetRhythm(s.who(c), days)
	}
	if err != nil {
		return s.showRounds(c, err)
	}
	return c.Redirect("/rounds?done=saved", fiber.StatusSeeOther)
}

type roundPage struct {
	Page
	Line    book.RoundLine
	Places  []roundPlace
	NextUp  string // code of the vessel that comes next
	Problem string
}

type roundPlace struct {
	Place string
	Stops []book.StopLine
}

func (s *Server) round(c *fiber.Ctx) error { return s.showRound(c, nil) }

func (s *Server) showRound(c *fiber.Ctx, problem error) error {
	p := roundPage{Page: s.page(c, "", "rounds")}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	line, err := s.roundOf(c)
	if err != nil {
		return err
	}
	p.Line, p.Title = line, line.Name
	for _, stop := range line.Stops {
		if n := len(p.Places); n == 0 || p.Places[n-1].Place != stop.Place {
			p.Places = append(p.Places, roundPlace{Place: stop.Place})
		}
		last := &p.Places[len(p.Places)-1]
		last.Stops = append(last.Stops, stop)
	}
	if next, ok := line.Next(""); ok {
		p.NextUp = next.Vessel
	}
	return s.render(c, "round", p)
}

func (s *Server) roundOf(c *fiber.Ctx) (book.RoundLine, error) {
	var line book.RoundLine
	err := s.book.See(book.Moment{}, func(v *book.View) (err error) {
		line, err = v.FindRound(c.Params("id"))
		return err
	})
	return line, err
}

// nextStop leads on to the form of the next vessel, and to the round itself
// when there is none left. What was just done is passed on to be shown there.
func (s *Server) nextStop(c *fiber.Ctx) error {
	line, err := s.roundOf(c)
	if err != nil {
		return err
	}
	passed := url.Values{}
	for _, name := range []string{"done", "undo"} {
		if value := c.Query(name); value != "" {
			passed.Set(name, value)
		}
	}
	target := "/rounds/" + line.ID
	if next, ok := line.Next(c.Query("after")); ok {
		target = "/v/" + url.PathEscape(next.Vessel) + "/log/sample"
		passed.Set("round", line.ID)
	}
	if query := passed.Encode(); query != "" {
		target += "?" + query
	}
	return c.Redirect(target, fiber.StatusSeeOther)
}

// skipStop leaves one vessel out, or with "rest" all that are still open.
func (s *Server) skipStop(c *fiber.Ctx) error {
	f := &form{c: c}
	id, reason := c.Params("id"), f.text("reason")
	if f.ticked("rest") {
		if err := s.book.SkipRest(s.who(c), id, reason); err != nil {
			return s.showRound(c, err)
		}
		return c.Redirect("/rounds/"+id+"?done=saved", fiber.StatusSeeOther)
	}
	code := f.text("vessel")
	e, err := s.book.Record(book.Submission{ID: f.text("id"), Who: s.who(c), Request: cellar.Request{
		When: s.book.Now(), Entry: "round_skip", Round: id, Vessel: code, Note: reason,
	}})
	if err != nil {
		return s.showRound(c, err)
	}
	query := url.Values{"after": {code}, "done": {"skipped"}, "undo": {e.ID}}
	return c.Redirect("/rounds/"+id+"/next?"+query.Encode(), fiber.StatusSeeOther)
}

// skipReasons are offered for one tap; another can be written.
var skipReasons = slices.Clip([]string{"cannot be reached", "too dark to read", "sampled lately", "no time left"})

// SkipReasons is for the templates.
func (roundPage) SkipReasons() []string { return skipReasons }
