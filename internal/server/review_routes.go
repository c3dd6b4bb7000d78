package server

import "github.com/gofiber/fiber/v2"

// reviewRoutes are the addresses of the owner's desk.
func (s *Server) reviewRoutes(app *fiber.App) {
	app.Get("/vessels/file", s.stockFile)
	app.Post("/vessels/views", s.saveView)
	app.Post("/vessels/views/drop", s.dropView)
	app.Get("/review", s.review)
	app.Get("/review/flow", s.flow)
	app.Get("/review/values", s.values)
	app.Post("/review/values", s.setValue)
}
