package server

import (
	"strconv"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// mostStockLines is how many vessels one part of the stock may have.
const mostStockLines = 1000

// apiStockLine is a line of the stock with what it rests on, where that is not
// the estimator.
type apiStockLine struct {
	book.StockLine
	Basis string `json:"basis,omitempty"`
}

var stockBasis = map[book.Basis]string{book.ByBooks: "books", book.ByEarlierFit: "earlier"}

// apiStockPart gives some vessels of the stock, by code: ?from=0&count=100. It
// waits for nothing: what the estimator has not read yet rests on the books.
func (s *Server) apiStockPart(c *fiber.Ctx) error {
	from, err := wholeOf(c, "from", 0, 1<<30)
	if err != nil {
		return err
	}
	count, err := wholeOf(c, "count", 1, mostStockLines)
	if err != nil {
		return err
	}
	lines := []apiStockLine{}
	err = s.glance(c, func(v *book.View) error {
		for _, r := range v.Query(book.StockQuery{Empty: true, From: from, Count: count}).Rows {
			lines = append(lines, apiStockLine{r.StockLine, stockBasis[r.Basis]})
		}
		return nil
	})
	if err != nil {
		return err
	}
	return c.JSON(lines)
}

// wholeOf reads a whole number of the address; blank is the least.
func wholeOf(c *fiber.Ctx, field string, least, most int) (int, error) {
	text := c.Query(field)
	if text == "" {
		return least, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < least || n > most {
		return 0, &cellar.Problem{
			Kind: cellar.Invalid, Field: field, Value: text, Reason: "write a whole number from " + strconv.Itoa(least) + " to " + strconv.Itoa(most),
		}
	}
	return n, nil
}
