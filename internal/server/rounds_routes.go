package server

import "github.com/gofiber/fiber/v2"

// roundRoutes are the addresses of rounds and of what goes with them.
func (s *Server) roundRoutes(app *fiber.App) {
	app.Get("/rounds", s.rounds)
	app.Post("/rounds", s.beginRound)
	app.Post("/rounds/rhythm", s.setRhythm)
	app.Get("/rounds/:id", s.round)
	app.Get("/rounds/:id/next", s.nextStop)
	app.Post("/rounds/:id/skip", s.skipStop)
	app.Post("/book/:id/undo", s.undoEntry)
	app.Get("/s/:id", s.sampleLabel)
	app.Post("/labels/replaced", s.labelReplaced)
	app.Get("/photo/:name", s.photo)
	app.Get("/calendar", s.calendar)
	app.Post("/calendar/renew", s.renewCalendar)
	app.Post("/calendar/withdraw", s.withdrawCalendar)
	app.Get("/api/vessels", s.apiVessels)
	app.Get("/api/rounds/:id", s.apiRound)
	app.Post("/api/photos", s.apiPhoto)
}
