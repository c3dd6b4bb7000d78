package journeys

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var hrefs = regexp.MustCompile(`<a [^>]*href="(/[^"]*)"`)

// named are the parts of an address that name a thing: one page stands for all.
var named = regexp.MustCompile(`^/(v|b|l|book)/[^/?]+`)

// files are addresses that are no pages.
var files = []string{"/static/", "/book/export", "/labels/sheet", "/api/", "/find", "/sign-out", "/bench/plan", "/bench/record"}

// pagesOf follows every link from Today and returns an address of each kind of page.
func pagesOf(t *testing.T, p program) []string {
	t.Helper()
	seen := map[string]bool{"/": true}
	pages := []string{"/"}
	for i := 0; i < len(pages); i++ {
		status, body, kind := p.ask(t, pages[i])
		if status != http.StatusOK {
			t.Errorf("a link leads to %s, where there is status %d", pages[i], status)
		}
		if status != http.StatusOK || !strings.HasPrefix(kind, "text/html") {
			pages = slices.Delete(pages, i, i+1)
			i--
			continue
		}
		for _, match := range hrefs.FindAllStringSubmatch(string(body), -1) {
			address := html.UnescapeString(match[1])
			shape := shapeOf(address)
			if !seen[shape] && !slices.ContainsFunc(files, func(f string) bool { return strings.HasPrefix(address, f) }) {
				seen[shape] = true
				pages = append(pages, address)
			}
		}
	}
	return append(pages, soughtOut(t, p)...)
}

// shapeOf is an address without the names of things and the questions asked.
func shapeOf(address string) string {
	path, _, _ := strings.Cut(address, "?")
	return named.ReplaceAllString(path, "/$1/*")
}

// soughtOut are pages that no link leads to: an answer of the bench, one that
// there is none, a past day, an empty vessel, a page that is not there.
func soughtOut(t *testing.T, p program) []string {
	t.Helper()
	stock := stockOf(t, p)
	var filled []string
	empty := ""
	for code, line := range stock {
		if line.VolumeL > 5 && line.StrengthPct > 50 {
			filled = append(filled, code)
		} else if line.VolumeL == 0 {
			empty = code
		}
	}
	slices.Sort(filled)
	plan := "/bench/plan?objective=oldest_first&water=1&strength_pct=46&use=" + filled[0] + "&use=" + filled[1]
	return []string{
		plan + "&volume_l=4", plan + "&volume_l=4000", "/v/" + empty, "/v/" + empty + "/log/fill",
		"/vessels?empty=1&sort=strength", "/?on=2025-06-01", "/book?about=" + filled[0], "/sign-in",
	}
}

// nameOf makes a file name of an address.
func nameOf(address string) string {
	path, query, _ := strings.Cut(shapeOf(address)+"?"+questionOf(address), "?")
	name := strings.Trim(strings.NewReplacer("/", "-", "*", "x").Replace(path), "-")
	if name == "" {
		name = "today"
	}
	if query != "" {
		name += "-" + query
	}
	return name
}

func questionOf(address string) string {
	u, err := url.Parse(address)
	if err != nil {
		return ""
	}
	var names []string
	for name := range u.Query() {
		names = append(names, name+u.Query().Get(name)[:min(4, len(u.Query().Get(name)))])
	}
	slices.Sort(names)
	return strings.Join(names, "-")
}
