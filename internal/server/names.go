package server

import (
	"fmt"
	"net/url"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/identity"
)

type namesPage struct {
	Page
	Of        string // in words
	Back      string // its own page
	Facts     identity.Facts
	Reports   []namedReport
	Questions []namedQuestion
	Values    url.Values
	Problem   string
	Cautions  []identity.Caution
}

// namedReport is a jurisdiction's with its names sorted by how they stand.
type namedReport struct {
	identity.Report
	Name               string
	Met, Open, Against []identity.CategoryReport
}

type namedQuestion struct{ Field, Words, Answer string }

// Get is what was answered.
func (p namesPage) Get(field string) string { return p.Values.Get(field) }

// nameFields are the answers that the address carries.
var nameFields = []string{"made_in", "distilled_pct", "entry_pct", "bottling_pct", "additives", "charred"}

func nameAnswers(c *fiber.Ctx) (book.NameAnswers, url.Values, error) {
	r := &asked{values: url.Values{}}
	for _, field := range nameFields {
		if text := c.Query(field); text != "" {
			r.values.Set(field, text)
		}
	}
	answers := book.NameAnswers{
		MadeIn: c.Query("made_in"), DistilledPct: r.number("distilled_pct"), EntryPct: r.number("entry_pct"), BottlingPct: r.number("bottling_pct"),
		NoAdditives: r.tri("additives"), Charred: r.tri("charred"), Said: make(map[string]identity.Tri),
	}
	for i, question := range book.Questions() {
		field := questionField(i)
		if text := c.Query(field); text != "" {
			r.values.Set(field, text)
			answers.Said[question] = r.tri(field)
		}
	}
	return answers, r.values, r.err
}

func questionField(i int) string { return fmt.Sprintf("said_%d", i) }

// tri reads yes, no, or nothing.
func (r *asked) tri(field string) identity.Tri {
	switch text := r.values.Get(field); text {
	case "":
		return identity.Unknown
	case "yes":
		return identity.Yes
	case "no":
		return identity.No
	default:
		r.fail(field, text, "use yes or no, or leave it blank")
		return identity.Unknown
	}
}

// vesselNames says what a vessel's content may be called.
func (s *Server) vesselNames(c *fiber.Ctx) error {
	return s.showNames(c, func(v *book.View, p *namesPage, answers book.NameAnswers) error {
		vessel, err := vesselOf(c, v)
		if err != nil {
			return err
		}
		if v.State.IsEmpty(vessel.Code) {
			return &cellar.Problem{Kind: cellar.Refused, Field: "vessel", Value: vessel.Code, Reason: "it is empty: there is nothing to name"}
		}
		p.Of, p.Back = vessel.Code, "/v/"+url.PathEscape(vessel.Code)
		p.Facts = v.NameFacts(cellar.VesselAccount(vessel.Code), answers)
		return nil
	})
}

// lotNames says it of a bottling.
func (s *Server) lotNames(c *fiber.Ctx) error {
	return s.showNames(c, func(v *book.View, p *namesPage, answers book.NameAnswers) error {
		lot, ok := v.FindLot(named(c, "lot"))
		if !ok {
			return &cellar.Problem{Kind: cellar.NotFound, Field: "lot", Value: named(c, "lot"), Reason: "no such bottling is recorded"}
		}
		p.Of, p.Back = "lot "+lot.Name, "/l/"+url.PathEscape(lot.Name)
		p.Facts = v.NameFacts(cellar.LotAccount(lot.Name), answers)
		return nil
	})
}

// planNames says it of what a plan would make.
func (s *Server) planNames(c *fiber.Ctx) error {
	return s.showNames(c, func(v *book.View, p *namesPage, answers book.NameAnswers) error {
		plan, err := v.FindPlan(c.Params("id"))
		if err != nil {
			return err
		}
		p.Of, p.Back = "the plan "+plan.Name, "/plans/"+url.PathEscape(plan.Entry.ID)
		p.Facts = v.PlanNameFacts(plan.Planned, answers)
		return nil
	})
}

func (s *Server) showNames(c *fiber.Ctx, find func(*book.View, *namesPage, book.NameAnswers) error) error {
	p := namesPage{Page: s.page(c, "What it may be called", "vessels")}
	answers, values, wrong := nameAnswers(c)
	p.Values = values
	if err := s.see(c, func(v *book.View) error { return find(v, &p, answers) }); err != nil {
		return err
	}
	if wrong == nil {
		wrong = p.judge()
	}
	if wrong != nil {
		p.Problem = spoken(wrong)
		c.Status(fiber.StatusUnprocessableEntity)
	}
	for i, question := range book.Questions() {
		p.Questions = append(p.Questions, namedQuestion{questionField(i), question, values.Get(questionField(i))})
	}
	return s.render(c, "names", p)
}

// judge holds the facts against the rules of every jurisdiction.
func (p *namesPage) judge() error {
	for _, j := range identity.Jurisdictions() {
		report, err := identity.Judge(j.Code, p.Facts)
		if err != nil {
			return err
		}
		named := namedReport{Report: report, Name: j.Name}
		for _, category := range report.Categories {
			switch category.State {
			case identity.Met:
				named.Met = append(named.Met, category)
			case identity.Open:
				named.Open = append(named.Open, category)
			default:
				named.Against = append(named.Against, category)
			}
		}
		p.Reports = append(p.Reports, named)
	}
	return nil
}

// Closing is what every page of this kind ends with.
func (namesPage) Closing() string { return identity.Closing }

// askYes is a question for a form.
func askYes(field, words, answer string) namedQuestion { return namedQuestion{field, words, answer} }
