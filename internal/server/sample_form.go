package server

import (
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
)

// colourStep is one step of the scale that colours are described by.
type colourStep struct{ Word, Swatch string }

// colourScale goes from what has never met wood to the darkest that comes out
// of it. The steps are named after things that anyone can look at; the swatch
// only helps, and what is kept is the word.
var colourScale = []colourStep{
	{"spring water", "c1"}, {"straw", "c2"}, {"hay", "c3"}, {"honey", "c4"},
	{"amber", "c5"}, {"russet apple", "c6"}, {"chestnut", "c7"}, {"peat water", "c8"},
}

// samplePart is what the form of a sample has beyond those of other entries.
type samplePart struct {
	Round   *book.RoundLine // the round that is being walked; nil: none
	Colours []colourStep
	Tasted  book.SenseWords
}

// OtherColour is what was typed of a colour that is none of the steps.
func (p entryFormPage) OtherColour() string {
	if typed := p.Value("colour"); typed != "" && !isStep(typed) {
		return typed
	}
	return p.Value("colour_words")
}

func isStep(colour string) bool {
	return slices.ContainsFunc(colourScale, func(c colourStep) bool { return c.Word == colour })
}

// SkipReasons is for the template.
func (p entryFormPage) SkipReasons() []string { return skipReasons }

// fillSample adds what only a sample's form shows.
func (p *entryFormPage) fillSample(c *fiber.Ctx, v *book.View) {
	p.Sample = samplePart{Colours: colourScale, Tasted: v.SenseWords()}
	if id := roundIn(c); id != "" {
		if line, err := v.FindRound(id); err == nil {
			p.Sample.Round = &line
		}
	}
}

// roundIn is the round that the address or the form says is being walked.
func roundIn(c *fiber.Ctx) string {
	id := c.Query("round")
	if id == "" {
		id = c.FormValue("round")
	}
	if !looksLikeID(id) {
		return ""
	}
	return id
}

// looksLikeID says whether a text has the form of an entry's ID.
func looksLikeID(id string) bool {
	const ulidLength = 26
	return len(id) == ulidLength && !strings.ContainsFunc(id, func(r rune) bool {
		return (r < '0' || r > '9') && (r < 'A' || r > 'Z')
	})
}

// colour joins the step that was chosen and what was written beside it.
func (f *form) colour() string {
	step, words := f.text("colour"), f.text("colour_words")
	if step != "" && words != "" {
		return step + ", " + words
	}
	return step + words
}
