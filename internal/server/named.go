package server

import (
	"net/url"

	"github.com/gofiber/fiber/v2"
)

// named is a part of the address as a person wrote it. Addresses are taken
// apart before they are unescaped, since a code or a name may hold a slash:
// /v/A%2FB is the vessel A/B.
func named(c *fiber.Ctx, part string) string {
	text, err := url.PathUnescape(c.Params(part))
	if err != nil {
		return c.Params(part)
	}
	return text
}
