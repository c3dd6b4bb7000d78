package server

import (
	"time"

	"github.com/gofiber/fiber/v2"
)

// hostOnly begins the name of a cookie that browsers take over https only, from
// this host alone and for all of it, so that neither a page without https nor
// another name of the domain can plant one.
const hostOnly = "__Host-"

// secure says whether the browser asks over https: of the program itself or of
// a proxy before it, which says so.
func secure(c *fiber.Ctx) bool { return c.Protocol() == "https" }

// cookieName is the name of a cookie as this request may have it.
func cookieName(c *fiber.Ctx, name string) string {
	if secure(c) {
		return hostOnly + name
	}
	return name
}

func cookieOf(c *fiber.Ctx, name string) string { return c.Cookies(cookieName(c, name)) }

func giveCookie(c *fiber.Ctx, name, value string, until time.Time) {
	c.Cookie(&fiber.Cookie{
		Name: cookieName(c, name), Value: value, Path: "/", HTTPOnly: true, Secure: secure(c), SameSite: fiber.CookieSameSiteLaxMode, Expires: until,
	})
}

// dropCookie makes the browser forget one. It must look as when it was given.
func dropCookie(c *fiber.Ctx, name string) { giveCookie(c, name, "", time.Unix(0, 0)) }
