package server

import (
	"bytes"
	"fmt"
	"html/template"
	"io/fs"
	"net/url"
	"path"
	"strings"
	"sync"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/web"
)

// Page is what every page has.
type Page struct {
	Title    string
	Room     string // which link of the navigation is lit
	Notice   string // something that was just done
	Undo     string // entry that the notice offers to take back
	Walking  string // round that is being walked
	Demo     bool
	SignedIn bool
	Who      string // the account that is signed in
	Moment   MomentFields
}

// MomentFields is the two dates as written in the address.
type MomentFields struct{ On, Known string }

// Past says whether the page shows another day than today, or an earlier knowledge.
func (m MomentFields) Past() bool { return m.On != "" || m.Known != "" }

// Query carries the moment on to the next page.
func (m MomentFields) Query() string {
	q := ""
	if m.On != "" {
		q += "&on=" + m.On
	}
	if m.Known != "" {
		q += "&known=" + m.Known
	}
	return strings.Replace(q, "&", "?", 1)
}

func (s *Server) page(c *fiber.Ctx, title, room string) Page {
	return Page{
		Title: title, Room: room, Notice: notices[c.Query("done")], Undo: undoIn(c), Walking: roundIn(c), Demo: s.options.Demo,
		SignedIn: person(c).Session != "", Who: person(c).Name,
		Moment: MomentFields{c.Query("on"), c.Query("known")},
	}
}

// notices are the words for what was just done; the address carries only the key.
var notices = map[string]string{
	"saved":      "Saved.",
	"closed":     "Closed. The figures stay as they are.",
	"backed-up":  "Backed up, and verified by restoring it to a scratch file.",
	"registered": "Registered.",
	"kept":       "The plan is kept. Today shows it until it is made.",
	"made":       "Recorded, with what was measured. The plan stays beside it.",
	"dropped":    "The plan is off the list.",
	"bottled":    "The bottling is recorded.",
	"voided":     "Taken back. Everything is as it was before that entry.",
	"undone":     "Undone. Nothing of it counts.",
	"begun":      "The round has begun. Anyone can walk it on.",
	"skipped":    "Skipped.",
	"renewed":    "There is a new address. The old one shows nothing any more.",
	"withdrawn":  "Withdrawn. The address shows nothing any more.",
}

// pages holds the parsed templates by name.
type pages struct{ byName map[string]*template.Template }

// parsePages reads the templates that are part of the program, once.
var parsePages = sync.OnceValues(func() (*pages, error) {
	shared := template.New("").Funcs(formatting)
	if _, err := shared.ParseFS(web.Templates, "templates/shared/*.html"); err != nil {
		return nil, err
	}
	names, err := fs.Glob(web.Templates, "templates/*.html")
	if err != nil {
		return nil, err
	}
	p := &pages{make(map[string]*template.Template)}
	for _, file := range names {
		t, err := template.Must(shared.Clone()).ParseFS(web.Templates, file)
		if err != nil {
			return nil, err
		}
		p.byName[strings.TrimSuffix(path.Base(file), ".html")] = t
	}
	return p, nil
})

// render makes the whole page before it sends any of it, so that a fault in
// a template becomes an error and not half a page.
func (s *Server) render(c *fiber.Ctx, name string, data any) error {
	t, ok := s.pages.byName[name]
	if !ok {
		return fmt.Errorf("no page %q", name)
	}
	var out bytes.Buffer
	if err := t.ExecuteTemplate(&out, "layout", data); err != nil {
		return err
	}
	c.Set("Content-Type", "text/html; charset=utf-8")
	return c.SendString(offered(out.String(), person(c), c.Path()))
}

// formatting is what templates may call. Numbers get the decimals that their
// quantity is measured to.
var formatting = template.FuncMap{
	"litres":   func(x float64) string { return fmt.Sprintf("%.2f", x) },
	"litres1":  func(x float64) string { return fmt.Sprintf("%.1f", x) },
	"kilos":    func(x float64) string { return fmt.Sprintf("%.3f", x) },
	"strength": func(x float64) string { return fmt.Sprintf("%.1f", x) },
	"percent":  func(x float64) string { return fmt.Sprintf("%.1f", x) },
	"signed":   func(x float64) string { return sayFigure("%+.2f", x) },
	"spread1":  func(sd float64) string { return saySpread(1, sd) },
	"spread2":  func(sd float64) string { return saySpread(2, sd) },
	"share":    sayShare,
	"whole":    func(x float64) string { return fmt.Sprintf("%.0f", x) },
	"times":    func(x float64) string { return fmt.Sprintf("%.1f ×", x) },
	"age":      sayDays,
	"ageof":    func(days float64) string { return sayDays(int(days)) },
	"years":    func(days float64) string { return fmt.Sprintf("%.1f", days/daysPerYear) },
	"inc":      func(i int) int { return i + 1 },
	"chance":   sayChance,
	"capital":  func(words string) string { return strings.ToUpper(words[:1]) + words[1:] },
	"ofwhat":   func(share string) string { return strings.TrimPrefix(share, "wood:") },

	"accountname":  book.AccountName,
	"linewords":    book.LineWords,
	"sectionwords": book.SectionWords,
	"megabytes":    func(bytes int64) string { return fmt.Sprintf("%.2f", float64(bytes)/1e6) },

	"words":   sayFlag,
	"said":    sayProblem,
	"entry":   sayKind,
	"path":    url.PathEscape, // a code or a name as a part of an address
	"upper":   strings.ToUpper,
	"vessel":  func(a cellar.Account) string { return nameIf(a.Vessel()) },
	"holder":  sayAccount,
	"ask":     askYes,
	"pvalue":  sayP,
	"contact": func(m2, litres float64) string { return fmt.Sprintf("%.0f", 1e4*m2/litres) },
	"batch":   func(a cellar.Account) string { return nameIf(a.Batch()) },
	"lot":     func(a cellar.Account) string { return nameIf(a.Lot()) },
	"trim":    func(x float64) string { return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", x), "0"), ".") },
}

func nameIf(name string, is bool) string {
	if !is {
		return ""
	}
	return name
}

// sayDays writes an age as years and months.
func sayDays(days int) string {
	return cellar.SpanBetween(0, cellar.Day(days)).String()
}

// flagWords are the estimator's flags in the words of the pages.
var flagWords = map[string]string{
	"leak_suspected":   "leak suspected",
	"unrecorded_loss":  "a sudden loss nobody recorded",
	"outlier_reading":  "a reading was set aside",
	"prior_only":       "not sampled yet: its like speak for it",
	"no_volume_gauged": "content never gauged",
	"empty":            "empty",
}

func sayFlag(flag string) string {
	if words, ok := flagWords[flag]; ok {
		return words
	}
	return strings.ReplaceAll(flag, "_", " ")
}

// kindWords are the kinds of entry as buttons and headings say them.
var kindWords = map[string]string{
	"sample": "Log a sample", "fill": "Fill", "draw": "Draw", "top_up": "Top up", "transfer": "Transfer in",
	"reduce": "Add water", "bottle": "Bottle", "empty": "Empty", "rinse": "Rinse with water", "close": "Close a period", "limit": "Set a loss limit", "explain": "Explain a loss", "spill": "Record a spill", "move": "Move",
	"note": "Write a note", "void": "Take back", "aim": "Set a day to come back", "relabel": "Replace its label", "round": "Begin a round", "round_skip": "Skip a vessel", "rhythm": "Set the rhythm of looks", "blend": "Blend", "vessel": "Register a vessel",
	"batch": "Register a batch", "place": "Register a place",
}

func sayKind(kind string) string {
	if words, ok := kindWords[kind]; ok {
		return words
	}
	return kind
}
