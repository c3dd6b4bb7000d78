package server_test

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/cellar"
	"example.org/croze/web"
)

// FuzzForms goes from page to page of the whole application and fills in what
// it finds there: any route, with names and fields that are right or odd. No
// answer is an inner fault or half a page, none holds what was typed as markup,
// and what is refused changes nothing.
func FuzzForms(f *testing.F) {
	for i := range 40 {
		f.Add([]byte(fmt.Sprintf("%c%c%c%c%c%c%c", i*7, i, i*3, 1, i*5, 2, i)))
	}
	f.Fuzz(func(t *testing.T, choices []byte) {
		h := smallHouse(t)
		d := &dice{left: choices}
		for step := 0; step < mostSteps && len(d.left) > 0; step++ {
			h.visits(d.visit(h.written(), h.app.GetRoutes(true)))
		}
		h.sameWhenReplayed()
	})
}

// markup is typed into fields and must never come back as it is.
const markup = `"><img src=x onerror=evil()>`

func (h house) visits(r *http.Request, fields string) {
	h.t.Helper()
	before := h.head()
	a := h.do(r)
	what := r.Method + " " + r.URL.String() + " " + fields
	switch html := strings.HasPrefix(a.header.Get("Content-Type"), "text/html"); {
	case a.status >= http.StatusInternalServerError:
		h.t.Fatalf("%s: status %d: %.300s", what, a.status, a.body)
	case a.status >= http.StatusBadRequest && h.head() != before:
		h.t.Fatalf("%s: refused with status %d, and the journal has grown", what, a.status)
	case r.Method == http.MethodGet && h.head() != before:
		h.t.Fatalf("%s: looking has written something", what)
	case html && !strings.Contains(a.body, "</html>"):
		h.t.Fatalf("%s: half a page: %.300s", what, a.body)
	case html && strings.Contains(a.body, markup[2:]):
		h.t.Fatalf("%s: what was typed is markup on the page", what)
	}
	if a.header.Get("X-Typed") != "" {
		h.t.Fatalf("%s: what was typed became a header", what)
	}
	if to := a.header.Get("Location"); to != "" && (!strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//")) {
		h.t.Fatalf("%s: leads away to %q", what, to)
	}
}

// fieldNames are those of all forms, as the templates have them.
var fieldNames = func() []string {
	names := map[string]bool{"on": true, "known": true, "done": true, "confirm": true, "next": true}
	pattern := regexp.MustCompile(` name="([a-z_0-9]+)`)
	files, err := fs.Glob(web.Templates, "templates/*.html")
	if err != nil || len(files) == 0 {
		panic("no templates are found")
	}
	for _, file := range files {
		data, err := fs.ReadFile(web.Templates, file)
		if err != nil {
			panic(err)
		}
		for _, match := range pattern.FindAllStringSubmatch(string(data), -1) {
			names[match[1]] = true
			if strings.HasSuffix(match[1], "_") { // of a row: the number follows
				names[match[1]+"0"] = true
			}
		}
	}
	var list []string
	for name := range names {
		list = append(list, name)
	}
	slices.Sort(list)
	return list
}()

// hashing are routes that work a password out, which takes long.
var hashing = []string{"/people", "/people/password", "/people/me/password", "/sign-in", "/set-up"}

var parameter = regexp.MustCompile(`:[a-z]+|\*`)

func (d *dice) visit(written []string, routes []fiber.Route) (*http.Request, string) {
	routes = slices.DeleteFunc(routes, func(r fiber.Route) bool { return r.Method != http.MethodGet && r.Method != http.MethodPost })
	chosen := routes[(d.roll(256)*251+d.roll(256))%len(routes)]
	if chosen.Method == http.MethodPost && slices.Contains(hashing, chosen.Path) {
		if d.hashed { // one slow step is enough for an input
			chosen.Method = http.MethodGet
		}
		d.hashed = true
	}
	path := parameter.ReplaceAllStringFunc(chosen.Path, func(string) string {
		if d.roll(6) == 1 {
			return url.PathEscape(d.text())
		}
		return url.PathEscape(pick(d, append([]string{rye, oat, spare, "R1", "sample", "fill", "rye-1", "me"}, written...)...))
	})
	values := url.Values{}
	for range d.roll(12) {
		values.Add(fieldNames[(d.roll(256)*7+d.roll(7))%len(fieldNames)], d.fieldText(written))
	}
	fields := values.Encode()
	if chosen.Method == http.MethodGet {
		return httptest.NewRequest(http.MethodGet, path+"?"+fields, nil), fields
	}
	if strings.HasPrefix(path, "/api/") {
		return withType(path, d.asJSON(values), "application/json"), fields
	}
	return withType(path, fields, "application/x-www-form-urlencoded"), fields
}

func withType(path, body, kind string) *http.Request {
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(body))
	r.Header.Set("Content-Type", kind)
	return r
}

func (d *dice) asJSON(values url.Values) string {
	object := make(map[string]any)
	for name, all := range values {
		object[name] = pick[any](d, all[0], all, d.litres(), map[string]any{name: all[0]})
	}
	body, err := json.Marshal(object)
	if err != nil {
		return "{"
	}
	return string(body)
}

func (d *dice) text() string { return pick(d, append(oddTexts, markup)...) }

// fieldText is what somebody may type into a box or an attacker may send.
func (d *dice) fieldText(written []string) string {
	switch d.roll(6) {
	case 1:
		return d.text()
	case 2:
		return fmt.Sprint(pick(d, oddNumbers...))
	case 3:
		return pick(d, append(written, "2026-11-01", "2025-01-01", "a=1\r\nX-Typed: yes", "2024-02-30", "9999-01-01")...)
	case 4:
		return pick(d, append([]string{"on", "1", "cask", "hybrid", "jar", "tank", "new", "used", "look", "bottle", "hand", "owner", "least_cost", "oldest_first", "kind:cask", "pdf", "csv", "xlsx", "json", "EU", "US"}, cellar.EntryKinds...)...)
	}
	return pick(d, rye, oat, spare, "R1", "Lower store", fmt.Sprint(d.litres()), "46", "61.2", "fruit 3-6", "rye:0.6;oat:0.4", markup)
}
