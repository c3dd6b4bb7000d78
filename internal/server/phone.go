package server

import (
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/cellar"
)

type phonePage struct {
	Page
	Secure   bool   // this very page came over https
	HasOwn   bool   // there is a certificate of the program's own to install
	PageName string // host that the browser used
}

// phone explains what a phone can do here as it is, and what it takes for the rest.
func (s *Server) phone(c *fiber.Ctx) error {
	return s.render(c, "phone", phonePage{
		Page: s.page(c, "A phone in the store", "rounds"), Secure: c.Protocol() == "https",
		HasOwn: len(s.options.Authority) > 0, PageName: c.Hostname(),
	})
}

// certificate sends the certificate that phones are told to trust.
func (s *Server) certificate(c *fiber.Ctx) error {
	if len(s.options.Authority) == 0 {
		return &cellar.Problem{Kind: cellar.NotFound, Field: "certificate", Reason: "the program serves no certificate of its own: start it with --tls-self"}
	}
	c.Set("Content-Type", "application/x-x509-ca-cert")
	c.Set("Content-Disposition", `attachment; filename="croze.crt"`)
	return c.Send(s.options.Authority)
}
