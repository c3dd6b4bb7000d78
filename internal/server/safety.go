package server

import (
	"net/url"

	"github.com/gofiber/fiber/v2"
)

// contentPolicy allows what the program itself serves and nothing else: no
// inline scripts or styles, no other hosts, no frames.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; worker-src 'self'; font-src 'self'; " +
	"connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// secureOnly tells browsers to come over https alone from now on, for a year.
const secureOnly = "max-age=31536000"

func (s *Server) safeHeaders(c *fiber.Ctx) error {
	if s.options.SecureOnly && secure(c) {
		c.Set("Strict-Transport-Security", secureOnly)
	}
	c.Set("Content-Security-Policy", contentPolicy)
	c.Set("X-Content-Type-Options", "nosniff")
	c.Set("X-Frame-Options", "DENY")
	c.Set("Referrer-Policy", "same-origin")
	c.Set("Cross-Origin-Opener-Policy", "same-origin")
	c.Set("Cross-Origin-Resource-Policy", "same-origin")
	c.Set("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
	c.Set("Cache-Control", "no-store")
	return c.Next()
}

// sameOrigin refuses a write that another site's page sends in a signed-in
// person's name. Browsers say where a request comes from in Sec-Fetch-Site, and
// older ones in Origin; programs that are no browsers send neither and carry no
// cookies of a person.
func sameOrigin(c *fiber.Ctx) error {
	switch c.Method() {
	case fiber.MethodGet, fiber.MethodHead, fiber.MethodOptions:
		return c.Next()
	}
	switch c.Get("Sec-Fetch-Site") {
	case "same-origin", "none":
		return c.Next()
	case "":
		origin := c.Get("Origin")
		if origin == "" || hostOf(origin) == string(c.Request().Header.Host()) {
			return c.Next()
		}
	}
	return fiber.NewError(fiber.StatusForbidden, "This came from a page of another site, so it was not done. Open the page here and send it again.")
}

func hostOf(origin string) string {
	u, err := url.Parse(origin)
	if err != nil {
		return ""
	}
	return u.Host
}
