package server

import (
	"cmp"
	"html/template"
	"net/url"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
	"example.org/croze/internal/picture"
)

type trialsPage struct {
	Page
	Trials    []cellar.Tried
	Proposals []book.Proposal
	Warm      []cellar.Warmed
	ID        string
	Values    map[string]string
	Problem   string
}

// Value is what was typed into a field.
func (p trialsPage) Value(field string) string { return p.Values[field] }

func (s *Server) trials(c *fiber.Ctx) error { return s.showTrials(c, nil, nil) }

func (s *Server) showTrials(c *fiber.Ctx, typed map[string]string, problem error) error {
	p := trialsPage{Page: s.page(c, "Trials", "vessels"), Values: typed, ID: cmp.Or(typed["id"], s.book.NewID())}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	err := s.see(c, func(v *book.View) error {
		p.Trials, p.Warm, p.Proposals = v.State.Desk.Trials, v.State.Desk.Warm, v.Proposals()
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "trials", p)
}

// setUpTrial keeps a trial of the vessels named.
func (s *Server) setUpTrial(c *fiber.Ctx) error {
	f := &form{c: c}
	trial := cellar.Trial{Name: f.text("name"), Vessels: wordsOf(f.text("vessels")), Question: f.text("question")}
	e, err := s.book.SetUpTrial(f.text("id"), s.who(c), trial)
	if err != nil {
		return s.showTrials(c, f.typed(), err)
	}
	return c.Redirect("/trials/"+url.PathEscape(e.ID), fiber.StatusSeeOther)
}

// wordsOf splits what was typed at commas, semicolons and blanks.
func wordsOf(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == ' ' || r == '\n' || r == '\r' || r == '\t' })
}

// recordWarm keeps a warm-held bench trial.
func (s *Server) recordWarm(c *fiber.Ctx) error {
	f := &form{c: c}
	warm := cellar.WarmTrial{
		Name: f.text("name"), VolumeL: f.amount("volume_l"), StrengthPct: f.amount("strength_pct"), Hours: f.amount("hours"),
		TempC: f.amount("temp_c"), Wood: f.text("wood"), WoodAreaM2: f.amount("wood_area_cm2") / 1e4, Colour: f.text("colour"), Note: f.text("note"),
	}
	warm.Scores = f.scores()
	err := f.err
	if err == nil {
		err = s.book.RecordWarmTrial(f.text("id"), s.who(c), f.text("from"), warm)
	}
	if err != nil {
		return s.showTrials(c, f.typed(), err)
	}
	return c.Redirect("/trials?done=saved#warm", fiber.StatusSeeOther)
}

// scores reads scores as typed into one line: fruit 4, wood 6.
func (f *form) scores() map[string]int {
	scores := make(map[string]int)
	for _, said := range strings.FieldsFunc(f.text("scores"), func(r rune) bool { return r == ',' || r == ';' || r == '\n' }) {
		said = strings.TrimSpace(said)
		if said == "" {
			continue
		}
		at := strings.LastIndexAny(said, " :")
		n, ok := 0, false
		if at > 0 {
			n, ok = wholeNumber(said[at+1:])
		}
		if !ok {
			if f.err == nil {
				f.err = &cellar.Problem{Kind: cellar.Invalid, Field: "scores", Value: said, Reason: "write a word and a number from 0 to 10, such as fruit 4"}
			}
			return nil
		}
		scores[strings.TrimSpace(strings.TrimRight(said[:at], ": "))] = n
	}
	if len(scores) == 0 {
		return nil
	}
	return scores
}

type trialPage struct {
	Page
	Trial      cellar.Tried
	Compared   book.Comparison
	Refused    string
	Strength   template.HTML
	Lost       template.HTML
	Contact    template.HTML
	AnyContact bool
}

// trial compares the vessels of a trial.
func (s *Server) trial(c *fiber.Ctx) error {
	p := trialPage{Page: s.page(c, "Trial", "vessels")}
	err := s.see(c, func(v *book.View) error {
		trial, found := v.State.Desk.FindTrial(c.Params("id"))
		if !found {
			return &cellar.Problem{Kind: cellar.NotFound, Field: "trial", Value: c.Params("id"), Reason: "no such trial was set up, or it was taken back"}
		}
		p.Trial, p.Title = trial, trial.Name
		compared, err := v.Compare(trial.Vessels)
		if cellar.KindOf(err) == cellar.Refused {
			p.Refused = spoken(err)
			return nil
		}
		p.Compared = compared
		return err
	})
	if err != nil {
		return err
	}
	p.draw()
	return s.render(c, "trial", p)
}

func (p *trialPage) draw() {
	if len(p.Compared.Vessels) == 0 {
		return
	}
	strength := picture.Lines{Title: "Strength by days in wood", Unit: "% vol", Words: "A line for each vessel; short bars hold the estimate nine times in ten."}
	lost := picture.Lines{Title: "Pure alcohol lost by days in wood", Unit: "% of the pure alcohol", Words: strength.Words}
	contact := picture.Lines{Title: "Wood contact by days in wood", Unit: "cm² a litre", Words: "A line for each vessel."}
	for _, one := range p.Compared.Vessels {
		a, b, wood := picture.Line{Name: one.Code}, picture.Line{Name: one.Code}, picture.Line{Name: one.Code}
		for i, at := range one.At {
			if !at.Known {
				continue
			}
			day := float64(p.Compared.Days[i])
			a.Points = append(a.Points, boundedAt(day, at.Strength))
			b.Points = append(b.Points, boundedAt(day, at.LostPct))
			if at.Contact > 0 {
				p.AnyContact = true
				wood.Points = append(wood.Points, picture.Bounded{Day: day, Mean: at.Contact, Low: at.Contact, High: at.Contact})
			}
		}
		strength.Lines, lost.Lines, contact.Lines = append(strength.Lines, a), append(lost.Lines, b), append(contact.Lines, wood)
	}
	p.Strength, p.Lost = picture.LinesChart(strength), picture.LinesChart(lost)
	if p.AnyContact {
		p.Contact = picture.LinesChart(contact)
	}
}

func boundedAt(day float64, e loss.Estimate) picture.Bounded {
	return picture.Bounded{Day: day, Mean: e.Mean, Low: e.Low, High: e.High}
}
