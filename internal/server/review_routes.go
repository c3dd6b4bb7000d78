package server

import "github.com/gofiber/fiber/v2"

// reviewRoutes are the addresses of the owner's desk.
func (s *Server) reviewRoutes(app *fiber.App) {
	app.Get("/vessels/file", s.stockFile)
	app.Post("/vessels/views", s.saveView)
	app.Post("/vessels/views/drop", s.dropView)
	app.Get("/review", s.review)
	app.Get("/review/flow", s.flow)
	app.Get("/trials", s.trials)
	app.Post("/trials", s.setUpTrial)
	app.Post("/trials/warm", s.recordWarm)
	app.Get("/trials/:id", s.trial)
	app.Get("/tastings", s.tastings)
	app.Post("/tastings", s.planTasting)
	app.Post("/tastings/words", s.setWords)
	app.Post("/tastings/scores", s.scoreVessel)
	app.Get("/tastings/:id", s.tasting)
	app.Get("/tastings/:id/sheets", s.tastingSheets)
	app.Post("/tastings/:id/answers", s.answerTasting)
	app.Get("/v/:code/names", s.vesselNames)
	app.Get("/l/:lot/names", s.lotNames)
	app.Get("/plans/:id/names", s.planNames)
	app.Get("/review/ready", s.readiness)
	app.Get("/v/:code/ready", s.vesselReady)
	app.Post("/v/:code/ready", s.setReady)
	app.Get("/review/values", s.values)
	app.Post("/review/values", s.setValue)
}
