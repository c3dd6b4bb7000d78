package server

import (
	"cmp"
	"fmt"
	"html/template"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/picture"
)

type flowPage struct {
	Page
	Of      cellar.Account
	Name    string
	Class   string
	Into    template.HTML
	Out     template.HTML
	Came    book.Flow
	Went    book.Flow
	Nothing bool
}

// flow shows where what is in a vessel or a bottling came from, and where what
// came into it went.
func (s *Server) flow(c *fiber.Ctx) error {
	p := flowPage{Page: s.page(c, "Where it came from and went", "spirits"), Of: cellar.Account(c.Query("of"))}
	if p.Class, p.Name = p.Of.Split(); p.Class == "vessel" {
		p.Room = "vessels"
	}
	err := s.glance(c, func(v *book.View) error {
		if !knownAccount(v, p.Of) {
			return &cellar.Problem{Kind: cellar.NotFound, Field: "of", Value: string(p.Of), Reason: "name a vessel, batch or bottling, such as lot:L1"}
		}
		p.Came, p.Went = v.FlowInto(p.Of), v.FlowOutOf(p.Of)
		p.Into = flowPicture("Where "+p.Name+" came from", p.Came)
		p.Out = flowPicture("Where "+p.Name+" went", p.Went)
		return nil
	})
	if err != nil {
		return err
	}
	p.Nothing = p.Into == "" && p.Out == ""
	return s.render(c, "flow", p)
}

func knownAccount(v *book.View, a cellar.Account) bool {
	class, name := a.Split()
	switch class {
	case "vessel":
		return v.State.Vessels[name] != nil
	case "batch":
		return v.State.Batches[name] != nil
	case "lot":
		return v.State.Lots[name] != nil
	}
	return false
}

func flowPicture(title string, f book.Flow) template.HTML {
	if len(f.Lines) == 0 {
		return ""
	}
	p := picture.FlowPicture{
		Title: title, Labels: make(map[string]string),
		Words: "From left to right; a band is as wide as the pure alcohol that went that way. The table beside it has the numbers.",
	}
	for _, line := range f.Lines {
		p.Labels[string(line.From)], p.Labels[string(line.To)] = sayAccount(line.From), sayAccount(line.To)
		p.Streams = append(p.Streams, picture.Stream{
			From: string(line.From), To: string(line.To), Amount: line.PureAlcoholL,
			Words: fmt.Sprintf("%s to %s: %.2f L of pure alcohol", sayAccount(line.From), sayAccount(line.To), line.PureAlcoholL),
		})
	}
	return picture.FlowChart(p)
}

// endWords are the accounts that hold nothing, in the words of the pages.
var endWords = map[string]string{
	"angels": "evaporated", "samples": "samples", "drawn": "drawn", "spilled": "spilled", "handling": "left on walls and hoses",
	"unexplained": "unexplained", "water": "water",
}

func sayAccount(a cellar.Account) string {
	class, name := a.Split()
	switch class {
	case "lot":
		return "lot " + name
	case "indrink":
		return "in the wood of " + name
	case "vessel", "batch":
		return name
	}
	return cmp.Or(endWords[string(a)], string(a))
}
