package server

import "github.com/gofiber/fiber/v2"

// longestAddress bounds the headers of a request. The wish of a plan is in its
// address, with every vessel that is ticked.
const longestAddress = 64 << 10 // bytes

// benchRoutes lists the addresses from a wish to the bottle.
func (s *Server) benchRoutes(app *fiber.App) {
	app.Get("/bench", s.bench)
	app.Post("/bench/plan", s.wishFor)
	app.Get("/bench/plan", s.plan)
	app.Get("/bench/plan.json", s.planFileDownload)
	app.Post("/bench/file", s.planFileUpload)
	app.Post("/bench/keep", s.keepPlan)
	app.Post("/bench/record", s.recordBlend)
	app.Get("/bench/costs", s.costs)
	app.Post("/bench/costs", s.saveCosts)
	app.Get("/plans", s.plans)
	app.Get("/plans/:id", s.vat)
	app.Get("/plans/:id/file", s.keptFile)
	app.Post("/plans/:id/made", s.madePlan)
	app.Post("/plans/:id/drop", s.dropPlan)
	app.Get("/v/:code/bottling", s.bottling)
	app.Post("/v/:code/bottling", s.recordBottling)
}
