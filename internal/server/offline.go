package server

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"
)

// openRoutes are the addresses that need no sign-in: they show nothing of the
// store, and a phone keeps them for when there is no signal.
func (s *Server) openRoutes(app *fiber.App) {
	app.Get("/sw.js", s.serviceWorker)
	app.Get("/manifest.webmanifest", s.manifest)
	app.Get("/offline", s.frame("offline", "No signal", ""))
	app.Get("/outbox", s.frame("outbox", "Waiting on this device", "rounds"))
	app.Get("/scan", s.frame("scan", "Scan", "rounds"))
	app.Get("/phone", s.phone)
	app.Get("/certificate", s.certificate)
	app.Get("/calendar/:secret.ics", s.calendarFeed)
}

// frame shows a page that is the same for everybody.
func (s *Server) frame(name, title, room string) fiber.Handler {
	return func(c *fiber.Ctx) error { return s.render(c, name, s.page(c, title, room)) }
}

// serviceWorker sends the script that works without a signal. It begins with
// the version of the files that it keeps, so that a new program brings them anew.
func (s *Server) serviceWorker(c *fiber.Ctx) error {
	all := staticFiles()
	sum := sha256.New()
	var kept []string
	for _, path := range slices.Sorted(maps.Keys(all)) {
		sum.Write([]byte(path))
		sum.Write(all[path])
		if !strings.HasSuffix(path, "/sw.js") && !strings.Contains(path, "/vendor/LICENSE") && !strings.HasSuffix(path, ".md") {
			kept = append(kept, path)
		}
	}
	kept = append(kept, "/manifest.webmanifest")
	list, err := json.Marshal(kept)
	if err != nil {
		return err
	}
	version := hex.EncodeToString(sum.Sum(nil)[:8])
	c.Set("Content-Type", "text/javascript; charset=utf-8")
	c.Set("Cache-Control", "no-cache")
	head := `"use strict"; const version = "` + version + `", files = ` + string(list) + ";\n"
	return c.SendString(head + string(all["/static/sw.js"]))
}

// manifest lets a phone put the program beside its other applications.
func (s *Server) manifest(c *fiber.Ctx) error {
	icon := func(size, purpose string) fiber.Map {
		return fiber.Map{"src": "/static/icon-" + size + ".png", "sizes": size + "x" + size, "type": "image/png", "purpose": purpose}
	}
	data, err := json.Marshal(fiber.Map{
		"name": "Croze", "short_name": "Croze", "description": "The book of a spirit store", "id": "/", "start_url": "/rounds", "scope": "/",
		"display": "standalone", "background_color": "#f4f6f5", "theme_color": "#14594b",
		"icons":     []fiber.Map{icon("192", "any"), icon("512", "any"), icon("512", "maskable")},
		"shortcuts": []fiber.Map{{"name": "Scan a label", "url": "/scan"}, {"name": "Rounds", "url": "/rounds"}},
	})
	if err != nil {
		return err
	}
	c.Set("Content-Type", "application/manifest+json")
	return c.Send(data)
}
