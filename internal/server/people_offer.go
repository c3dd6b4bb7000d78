package server

import (
	"html"
	"net/url"
	"regexp"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/people"
)

// What a page offers is cut to what the person may do, by the same table that
// refuses it (see needs): a button that only leads to a refusal helps nobody.
// It is done to the finished page, so that no template can forget it.

var (
	aForm  = regexp.MustCompile(`(?s)<form\b([^>]*)>.*?</form>`)
	aLink  = regexp.MustCompile(`(?s)<a\b([^>]*)>(.*?)</a>`)
	aMenu  = regexp.MustCompile(`(?s)<span class="menu">.*?</span>`)
	attrOf = map[string]*regexp.Regexp{
		"method": regexp.MustCompile(`\bmethod="([^"]*)"`), "action": regexp.MustCompile(`\baction="([^"]*)"`),
		"href": regexp.MustCompile(`\bhref="([^"]*)"`), "class": regexp.MustCompile(`\bclass="([^"]*)"`),
	}
)

func attribute(tag, name string) string {
	if found := attrOf[name].FindStringSubmatch(tag); found != nil {
		return html.UnescapeString(found[1])
	}
	return ""
}

// offered is a page without the forms that the person may not send and the
// links that they may not follow. Where a whole form is missing it says whose it is.
func offered(page string, p people.Person, path string) string {
	if p.Role == "" || p.Role.May(people.Owner) { // a page that is the same for everybody, or everything
		return page
	}
	page = aForm.ReplaceAllStringFunc(page, func(form string) string {
		tag := aForm.FindStringSubmatch(form)[1]
		need := fiber.MethodGet
		if strings.EqualFold(attribute(tag, "method"), "post") {
			need = fiber.MethodPost
		}
		role := roleFor(need, attribute(tag, "action"), path)
		switch {
		case p.Role.May(role):
			return form
		case strings.HasPrefix(attribute(tag, "class"), "entry"):
			return `<p class="how">This is for ` + theRole(role) + `.</p>`
		}
		return ""
	})
	page = aMenu.ReplaceAllStringFunc(page, func(menu string) string {
		return withoutLinks(menu, p, path, func(string, string) string { return "" })
	})
	return withoutLinks(page, p, path, func(tag, words string) string {
		if strings.Contains(attribute(tag, "class"), "button") {
			return ""
		}
		return words
	})
}

// withoutLinks puts something in the place of each link that the person may not follow.
func withoutLinks(page string, p people.Person, path string, instead func(tag, words string) string) string {
	return aLink.ReplaceAllStringFunc(page, func(link string) string {
		found := aLink.FindStringSubmatch(link)
		if p.Role.May(roleFor(fiber.MethodGet, attribute(found[1], "href"), path)) {
			return link
		}
		return instead(found[1], found[2])
	})
}

// roleFor is the role that an address on the page at path asks for.
func roleFor(method, address, path string) people.Role {
	u, err := url.Parse(address)
	if err == nil && u.EscapedPath() != "" {
		path = u.EscapedPath()
	}
	return needs(method, routed(path))
}

func theRole(role people.Role) string {
	if role == people.Owner {
		return "the owner"
	}
	return "a " + string(role)
}
