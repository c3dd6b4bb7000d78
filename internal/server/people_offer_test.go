package server_test

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/people"
)

var (
	hrefs     = regexp.MustCompile(`<a\b[^>]*\bhref="([^"]*)"`)
	postForms = regexp.MustCompile(`<form\b[^>]*\bmethod="post"[^>]*>`)
	actions   = regexp.MustCompile(`\baction="([^"]*)"`)
)

// walk goes through the pages that somebody is shown, from the first page on,
// each kind of address a few times.
func (s staff) walk(cookie string, look func(address string, a answer)) {
	s.t.Helper()
	seen, ahead, alike := map[string]bool{}, []string{"/"}, map[string]int{}
	shape := regexp.MustCompile(`^(/[a-z]+)/[^/]+|\?.*$`)
	for len(ahead) > 0 {
		address := ahead[0]
		ahead = ahead[1:]
		kind := shape.ReplaceAllString(address, "$1/x")
		if seen[address] || alike[kind] >= 3 {
			continue
		}
		seen[address] = true
		alike[kind]++
		a := s.get(address, "Cookie", cookie)
		look(address, a)
		if !strings.HasPrefix(a.header.Get("Content-Type"), "text/html") {
			continue
		}
		for _, href := range hrefs.FindAllStringSubmatch(a.body, -1) {
			to := html.UnescapeString(href[1])
			if base, err := url.Parse(address); err == nil {
				if next, err := base.Parse(to); err == nil && next.Host == "" {
					next.Fragment = ""
					ahead = append(ahead, next.String())
				}
			}
		}
	}
	if len(seen) < 20 {
		s.t.Errorf("only %d pages are found", len(seen))
	}
}

// lively is a staffed house in which there is something of everything to do.
func lively(t *testing.T) staff {
	s := staffedHouse(t)
	s.record(cellar.Request{When: today.AddDate(0, 0, -3), Entry: "aim", Vessel: rye, On: cellar.DayOf(today), For: "bottle"})
	s.record(cellar.Request{When: today.AddDate(0, 0, -3), Entry: "note", Vessel: oat, Note: "a note"})
	_, err := s.book.BeginRound("", "Bo", "West row", []string{rye, oat})
	must(t, err)
	s.record(cellar.Request{When: today.AddDate(0, 0, -2), Entry: "bottle", Vessel: oat, Lot: "L-1", Bottles: []cellar.Bottles{{SizeL: 0.5, Count: 2}}, LabelPct: number(62), StrengthPct: number(62)})
	_, err = s.book.KeepPlan("", "Ines", &cellar.Plan{Name: "one litre", File: []byte(`{}`), Draws: []cellar.PlanDraw{{Vessel: rye, VolumeL: 1, StrengthPct: 60}}, VolumeL: 1, StrengthPct: 60})
	must(t, err)
	_, err = s.book.SetUpTrial("", "Ines", cellar.Trial{Name: "two woods", Vessels: []string{rye, oat}})
	must(t, err)
	return s
}

// TestPagesOfferOnlyWhatOneMayDo follows every link and sends every form that a
// page shows to somebody: none is refused for who they are.
func TestPagesOfferOnlyWhatOneMayDo(t *testing.T) {
	for _, role := range []people.Role{people.Reader, people.Hand, people.Keeper} {
		s := lively(t)
		cookie := map[people.Role]string{people.Reader: s.reader, people.Hand: s.hand, people.Keeper: s.keeper}[role]
		forms := map[string]bool{}
		s.walk(cookie, func(address string, a answer) {
			if a.status >= http.StatusBadRequest {
				t.Errorf("%s is led to %s: status %d", role, address, a.status)
			}
			for _, tag := range postForms.FindAllString(a.body, -1) {
				action, _, _ := strings.Cut(address, "?")
				if found := actions.FindStringSubmatch(tag); found != nil {
					action, _, _ = strings.Cut(html.UnescapeString(found[1]), "#")
				}
				forms[action] = true
			}
		})
		for action := range forms {
			if action == "/sign-out" {
				continue
			}
			before := s.head()
			if a := s.post(action, nil, "Cookie", cookie); a.status == http.StatusForbidden {
				t.Errorf("%s is shown a form that is refused: %s", role, action)
			}
			if role == people.Reader && s.head() != before {
				t.Errorf("a reader has written by %s", action)
			}
		}
		if least := map[people.Role]int{people.Reader: 3, people.Hand: 8, people.Keeper: 15}[role]; len(forms) < least {
			t.Errorf("%s is shown only %d forms: %v", role, len(forms), forms)
		}
	}
}

// TestWhoseAFormIsIsSaid where it would be, and the owner's pages are whole.
func TestWhoseAFormIsIsSaid(t *testing.T) {
	s := lively(t)
	a := s.get("/places", "Cookie", s.reader)
	if !a.says("This is for a keeper.") || postForms.MatchString(strings.Replace(a.body, "/sign-out", "", 1)) && strings.Contains(a.body, `action="/places/climate"`) {
		t.Errorf("a reader's page of places: %d", a.status)
	}
	if a := s.get("/book/limits", "Cookie", s.keeper); strings.Contains(a.body, `action="/book/limits"`) {
		t.Error("a keeper is offered to set limits")
	}
	for _, path := range []string{"/v/RYE-1/log/sample", "/vessels/new", "/v/RYE-1/edit", "/spirits/new"} {
		if a := s.get(path, "Cookie", s.reader); a.status != http.StatusForbidden {
			t.Errorf("%s, nothing but a form, as a reader: status %d", path, a.status)
		}
	}
	if a := s.get("/v/RYE-1", "Cookie", s.hand); !a.says("Log a sample") || a.says("Correct what is registered") {
		t.Error("a hand's page of a vessel")
	}
	owners := s.get("/v/RYE-1", "Cookie", s.owner)
	if !owners.says("Correct what is registered") || !owners.says("Log a sample") {
		t.Error("the owner's page of a vessel is cut")
	}
}
