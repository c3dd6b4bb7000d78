package server

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"mime"
	"path"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/web"
)

// assets serves the embedded files. Their names do not change with their
// content, so browsers ask each time and get "not modified" by the ETag.
func (s *Server) assets(app *fiber.App) {
	files, err := fs.Sub(web.Static, "static")
	if err != nil {
		panic(err) // the folder is compiled in
	}
	tags := make(map[string]string)
	contents := make(map[string][]byte)
	_ = fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := fs.ReadFile(files, name)
		sum := sha256.Sum256(data)
		contents[name], tags[name] = data, `"`+hex.EncodeToString(sum[:8])+`"`
		return err
	})
	app.Get("/static/*", func(c *fiber.Ctx) error {
		name := path.Clean(c.Params("*"))
		data, ok := contents[name]
		if !ok {
			return fiber.ErrNotFound
		}
		c.Set("Cache-Control", "no-cache")
		c.Set("ETag", tags[name])
		if c.Get("If-None-Match") == tags[name] {
			return c.SendStatus(fiber.StatusNotModified)
		}
		c.Set("Content-Type", mime.TypeByExtension(path.Ext(name)))
		return c.Send(data)
	})
}
