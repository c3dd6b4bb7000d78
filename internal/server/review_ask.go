package server

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// stockAsk is the stock table as the address asks for it: what was written, so
// that the form shows it again, and links can change one thing of it.
type stockAsk struct {
	values url.Values
	book.StockQuery
}

// rowsShown are how many rows a page may have.
var rowsShown = []int{50, 200, 1000}

// stockFields are those that the address carries.
var stockFields = []string{
	"find", "kind", "wood", "wood_state", "place", "batch", "grain", "flag", "age_from", "age_to", "strength_from", "strength_to",
	"volume_from", "volume_to", "loss_from", "empty", "group", "sort", "turn", "rows", "from", "col", "on", "known",
}

func stockAskOf(c *fiber.Ctx) (stockAsk, error) {
	a := stockAsk{values: url.Values{}}
	for _, field := range stockFields {
		for _, value := range c.Context().QueryArgs().PeekMulti(field) {
			if text := strings.TrimSpace(string(value)); text != "" {
				a.values.Add(field, text)
			}
		}
	}
	r := &asked{values: a.values}
	a.StockQuery = book.StockQuery{
		Find: a.Get("find"), Kind: a.Get("kind"), Wood: a.Get("wood"), WoodState: a.Get("wood_state"), Place: a.Get("place"),
		Batch: a.Get("batch"), Grain: a.Get("grain"), Flag: a.Get("flag"), Empty: a.Get("empty") != "",
		MinAge: r.number("age_from"), MaxAge: r.number("age_to"), MinStrength: r.number("strength_from"), MaxStrength: r.number("strength_to"),
		MinVolume: r.number("volume_from"), MaxVolume: r.number("volume_to"), MinLoss: r.number("loss_from"),
		Sort: r.oneOf("sort", book.StockColumns), Group: r.oneOf("group", book.StockGroups), Count: rowsShown[0], From: r.count("from"),
	}
	if n := r.count("rows"); slices.Contains(rowsShown, n) {
		a.Count = n
	}
	a.Down = book.SortsDown(a.Sort) != (a.Get("turn") != "")
	return a, r.err
}

// Get is what was written into a field.
func (a stockAsk) Get(field string) string { return a.values.Get(field) }

// Has says whether a field has a value, among others.
func (a stockAsk) Has(field, value string) bool { return slices.Contains(a.values[field], value) }

// With is the address of the same view with one thing changed, from the first row.
func (a stockAsk) With(field, value string) string {
	changed := a.copied("from")
	changed.Del(field)
	if value != "" {
		changed.Set(field, value)
	}
	return "/vessels?" + changed.Encode()
}

// SortLink sorts by a column, or turns it round if that is so already.
func (a stockAsk) SortLink(column string) string {
	changed := a.copied("from", "turn")
	if a.Sort == column && a.Get("turn") == "" {
		changed.Set("turn", "1")
	}
	changed.Set("sort", column)
	return "/vessels?" + changed.Encode()
}

// Way says in which direction the rows are sorted.
func (a stockAsk) Way() string {
	if a.Down {
		return "descending"
	}
	return "ascending"
}

// States are those of wood.
func (stockAsk) States() []string { return []string{string(cellar.NewWood), string(cellar.UsedWood)} }

// GroupFilters says whether the list can be narrowed to one group.
func (a stockAsk) GroupFilters() bool { return a.Group != "" && a.Group != "year" }

// OnlyGroup narrows the list to one group.
func (a stockAsk) OnlyGroup(name string) string {
	changed := a.copied("from", "group")
	changed.Set(a.Group, name)
	return "/vessels?" + changed.Encode()
}

// Query is the whole view as in the address.
func (a stockAsk) Query() string { return a.copied("from").Encode() }

// File is the address of the whole view as a file.
func (a stockAsk) File(as string) string {
	changed := a.copied("from", "rows")
	changed.Set("as", as)
	return "/vessels/file?" + changed.Encode()
}

// Days are the moment alone.
func (a stockAsk) Days() string {
	only := url.Values{}
	for _, field := range []string{"on", "known"} {
		if text := a.Get(field); text != "" {
			only.Set(field, text)
		}
	}
	if len(only) == 0 {
		return ""
	}
	return "?" + only.Encode()
}

// Filtered says whether the less used fields are in use.
func (a stockAsk) Filtered() bool {
	for _, field := range []string{"wood", "wood_state", "batch", "grain", "flag", "age_from", "age_to", "strength_from", "strength_to", "volume_from", "volume_to", "loss_from"} {
		if a.Get(field) != "" {
			return true
		}
	}
	return false
}

func (a stockAsk) copied(without ...string) url.Values {
	out := url.Values{}
	for field, values := range a.values {
		if !slices.Contains(without, field) {
			out[field] = slices.Clone(values)
		}
	}
	return out
}

// at is the address of the page that begins at a row; "" where there is none.
func (a stockAsk) at(from, found int) string {
	if from < 0 || from >= found || from == a.From {
		return ""
	}
	changed := a.copied("from")
	if from > 0 {
		changed.Set("from", strconv.Itoa(from))
	}
	return "/vessels?" + changed.Encode()
}

// asked reads numbers of an address and keeps the first that is wrong.
type asked struct {
	values url.Values
	err    error
}

func (r *asked) fail(field, text, reason string) {
	if r.err == nil {
		r.err = &cellar.Problem{Kind: cellar.Invalid, Field: field, Value: text, Reason: reason}
	}
}

func (r *asked) number(field string) *float64 {
	text := r.values.Get(field)
	if text == "" {
		return nil
	}
	x, err := spirit.ParseNumber(field, text)
	if err != nil {
		r.fail(field, text, whyNot(err))
		return nil
	}
	return &x
}

func (r *asked) count(field string) int {
	text := r.values.Get(field)
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		r.fail(field, text, "not a whole number from 0 on")
		return 0
	}
	return n
}

func (r *asked) oneOf(field string, known []string) string {
	text := r.values.Get(field)
	if text != "" && !slices.Contains(known, text) {
		r.fail(field, text, "use one of "+strings.Join(known, ", "))
		return ""
	}
	return text
}

// wholeNumber reads digits and nothing else.
func wholeNumber(text string) (int, bool) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	return n, err == nil
}
