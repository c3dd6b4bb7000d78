package server

import (
	"html"
	"net/url"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/people"
)

// What a page offers is cut to what the person may do, by the same table that
// refuses it (see needs): a button that only leads to a refusal helps nobody.
// It is done to the finished page, so that no template can forget it.

// elements replaces every element of a name, such as <a …>…</a>. None of those
// that it is used for stands within another of its name.
func elements(page, name string, replace func(whole, tag, inside string) string) string {
	var out strings.Builder
	out.Grow(len(page))
	begin, end := "<"+name, "</"+name+">"
	for {
		at := strings.Index(page, begin)
		if at < 0 {
			break
		}
		tagEnd, length := strings.IndexByte(page[at:], '>'), strings.Index(page[at:], end)
		after := at + len(begin)
		if tagEnd < 0 || length < 0 || page[after] != ' ' && page[after] != '>' { // half an element, or a longer name
			out.WriteString(page[:after])
			page = page[after:]
			continue
		}
		whole := page[at : at+length+len(end)]
		out.WriteString(page[:at])
		out.WriteString(replace(whole, whole[len(begin):tagEnd], whole[tagEnd+1:length]))
		page = page[at+len(whole):]
	}
	out.WriteString(page)
	return out.String()
}

// attribute is the value in a tag, "" if there is none.
func attribute(tag, name string) string {
	_, rest, found := strings.Cut(tag, " "+name+`="`)
	value, _, ends := strings.Cut(rest, `"`)
	if !found || !ends {
		return ""
	}
	return html.UnescapeString(value)
}

// offered is a page without the forms that the person may not send and the
// links that they may not follow. Where a whole form is missing it says whose it is.
func offered(page string, p people.Person, path string) string {
	if p.Role == "" || p.Role.May(people.Owner) { // a page that is the same for everybody, or everything
		return page
	}
	page = elements(page, "form", func(form, tag, _ string) string {
		method := fiber.MethodGet
		if strings.EqualFold(attribute(tag, "method"), "post") {
			method = fiber.MethodPost
		}
		role := roleFor(method, attribute(tag, "action"), path)
		switch {
		case p.Role.May(role):
			return form
		case strings.HasPrefix(attribute(tag, "class"), "entry"):
			return `<p class="how">This is for ` + theRole(role) + `.</p>`
		}
		return ""
	})
	page = elements(page, "span", func(span, tag, _ string) string {
		if attribute(tag, "class") != "menu" {
			return span
		}
		return withoutLinks(span, p, path, func(string, string) string { return "" })
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
	return elements(page, "a", func(link, tag, words string) string {
		if p.Role.May(roleFor(fiber.MethodGet, attribute(tag, "href"), path)) {
			return link
		}
		return instead(tag, words)
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
