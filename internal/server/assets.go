package server

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"mime"
	"path"
	"sync"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/web"
)

// assets serves the embedded files. Their names do not change with their
// content, so browsers ask each time and get "not modified" by the ETag.
func (s *Server) assets(app *fiber.App) {
	contents := staticFiles()
	tags := make(map[string]string)
	for path, data := range contents {
		sum := sha256.Sum256(data)
		tags[path] = `"` + hex.EncodeToString(sum[:8]) + `"`
	}
	send := func(c *fiber.Ctx) error {
		name := path.Clean(c.Path())
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
	}
	app.Get("/static/*", send)
	app.Get("/vendor/*", send)
}

// staticFiles are the embedded files by their addresses.
var staticFiles = sync.OnceValue(func() map[string][]byte {
	contents := make(map[string][]byte)
	for _, files := range []fs.FS{web.Static, web.Vendor} {
		err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() {
				return err
			}
			contents["/"+name], err = fs.ReadFile(files, name)
			return err
		})
		if err != nil {
			panic(err) // the folders are compiled in
		}
	}
	return contents
})
