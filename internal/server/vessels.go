package server

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
)

type vesselsPage struct {
	Page
	Ask      stockAsk
	Found    book.StockPage
	Columns  []*stockColumn
	Choice   []*stockColumn
	Rows     []stockRow
	Foot     []stockCell
	First    int // number of the first row shown, from 1
	Last     int
	Previous string // addresses of the pages before and after; "" for none
	Next     string
	Kinds    []cellar.VesselKind
	Choices  book.StockChoices
	Groups   []string
	Sizes    []int
	Views    []book.SavedView
	Valued   bool // somebody set a value
	Reading  bool // the estimator has not read the stock yet
	Problem  string
}

type stockRow struct {
	Vessel, Kind string
	CapacityL    float64
	Cells        []stockCell
}

// vessels shows the stock table, a page of it at a time.
func (s *Server) vessels(c *fiber.Ctx) error {
	p := vesselsPage{Page: s.page(c, "Vessels", "vessels"), Kinds: cellar.VesselKinds, Groups: book.StockGroups, Sizes: rowsShown, Choice: stockColumns}
	var err error
	if p.Ask, err = stockAskOf(c); err != nil {
		p.Problem = spoken(err)
		c.Status(statusOf(err))
	}
	if p.Views, err = s.book.SavedViews(); err != nil {
		return err
	}
	err = s.glance(c, func(v *book.View) error {
		p.Found = v.Query(p.Ask.StockQuery)
		p.Choices = v.StockChoices()
		p.Valued = len(v.State.Desk.Values) > 0
		p.Reading = v.Model == nil
		return nil
	})
	if err != nil {
		return err
	}
	p.lay()
	return s.render(c, "vessels", p)
}

// lay puts what was found into rows and columns.
func (p *vesselsPage) lay() {
	p.Columns = chosenColumns(p.Ask.values["col"], p.Valued)
	for i := range p.Found.Rows {
		r := &p.Found.Rows[i]
		row := stockRow{Vessel: r.Vessel, Kind: r.Kind, CapacityL: r.CapacityL}
		for _, column := range p.Columns {
			cell := column.cell(r)
			cell.Column = column
			row.Cells = append(row.Cells, cell)
		}
		p.Rows = append(p.Rows, row)
	}
	p.Foot = footOf(p.Columns, p.Found.Total)
	p.First, p.Last = p.Ask.From+1, p.Ask.From+len(p.Rows)
	p.Previous = p.Ask.at(max(0, p.Ask.From-p.Ask.Count), p.Found.Found)
	p.Next = p.Ask.at(p.Ask.From+p.Ask.Count, p.Found.Found)
}

// footOf says the sums under the columns that can be summed.
func footOf(columns []*stockColumn, total book.StockSum) []stockCell {
	foot := make([]stockCell, len(columns))
	for i, column := range columns {
		foot[i].Column = column
		switch column.Key {
		case "volume":
			foot[i].Text = fmt.Sprintf("%.1f", total.VolumeL)
			if total.VolumeSDL > 0 {
				foot[i].More = "± " + saySpread(1, total.VolumeSDL)
			}
		case "strength":
			foot[i].Text = fmt.Sprintf("%.1f", total.StrengthPct())
		case "alcohol":
			foot[i].Text = fmt.Sprintf("%.1f", total.PureAlcoholL)
		case "age":
			foot[i].Text = sayDays(int(total.MeanDays))
		case "value":
			foot[i].Text = fmt.Sprintf("%.0f", total.Value)
		}
	}
	return foot
}

// stockFile sends the view that the address asks for, all pages of it, as a file.
func (s *Server) stockFile(c *fiber.Ctx) error {
	ask, err := stockAskOf(c)
	if err != nil {
		return err
	}
	ask.From, ask.Count = 0, 0
	var sheet exchange.Sheet
	on := ""
	err = s.see(c, func(v *book.View) error {
		on = v.On.String()
		lines := v.Query(ask.StockQuery).Rows
		sheet = stockSheet(lines, chosenColumns(ask.values["col"], true), len(ask.values["col"]) > 0)
		return nil
	})
	if err != nil {
		return err
	}
	var out bytes.Buffer
	kind, err := writeSheet(&out, c.Query("as"), sheet)
	if err != nil {
		return err
	}
	c.Set("Content-Type", kind)
	c.Set("Content-Disposition", fmt.Sprintf(`attachment; filename="stock-%s.%s"`, on, c.Query("as")))
	return c.Send(out.Bytes())
}

// find leads from a code, or a label's whole address, to its page.
func (s *Server) find(c *fiber.Ctx) error {
	return s.findCode(c, strings.TrimSpace(c.Query("code")))
}
