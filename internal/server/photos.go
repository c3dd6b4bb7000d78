package server

import (
	"io"
	"strings"

	"github.com/gofiber/fiber/v2"
	"github.com/valyala/fasthttp"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/photo"
)

// addPhoto keeps the picture of a form, if it has one, and puts its name into
// the tasting notes.
func (f *form) addPhoto(photos photo.Folder, r *cellar.Request) {
	header, err := f.c.FormFile("photo")
	if err != nil || header.Size == 0 || f.err != nil { // no such field, or nothing chosen in it
		return
	}
	file, err := header.Open()
	if err != nil {
		f.err = err
		return
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, photo.MostBytes+1))
	if err != nil {
		f.err = err
		return
	}
	name, err := photos.Keep(data)
	if err != nil {
		f.err = err
		return
	}
	if r.Senses == nil {
		r.Senses = &cellar.Senses{}
	}
	r.Senses.Photo = name
}

// apiPhoto keeps a picture that is sent as it is and answers with its name.
func (s *Server) apiPhoto(c *fiber.Ctx) error {
	if !strings.HasPrefix(c.Get("Content-Type"), "image/") {
		return fiber.NewError(fiber.StatusUnsupportedMediaType, "send the picture itself, as image/jpeg or image/png")
	}
	name, err := s.options.Photos.Keep(c.Body())
	if err != nil {
		return err
	}
	return c.Status(fiber.StatusCreated).JSON(fiber.Map{"photo": name})
}

// photo sends a kept picture. Its name is its sum, so it never changes.
func (s *Server) photo(c *fiber.Ctx) error {
	data, err := s.options.Photos.Read(c.Params("name"))
	if err != nil {
		return err
	}
	c.Set("Content-Type", "image/jpeg")
	c.Set("Content-Security-Policy", "default-src 'none'; sandbox")
	c.Set("Cache-Control", "private, max-age=31536000, immutable")
	return c.Send(data)
}

// shortBodies refuses long requests to all but what takes pictures, and packed
// ones to all: what unpacks to a thousand times its size is not bounded by how
// long it is. No browser packs what it sends.
func shortBodies(c *fiber.Ctx) error {
	if packed := c.Get(fiber.HeaderContentEncoding); packed != "" && packed != "identity" {
		return fiber.NewError(fiber.StatusUnsupportedMediaType, "Send it as it is, not packed.")
	}
	if len(c.Request().Body()) <= longestBody || takesPictures(c.Path()) {
		return c.Next()
	}
	return fiber.ErrRequestEntityTooLarge
}

func takesPictures(path string) bool {
	path = routed(path)
	return strings.HasSuffix(path, "/log/sample") || path == "/api/photos"
}

// notFarTooLong refuses far too long a body before any of it is read, so that many
// who send one cannot fill the memory. What is only a little too long is read,
// and then told so by a page.
func notFarTooLong(header *fasthttp.RequestHeader) fasthttp.RequestConfig {
	path, _, _ := strings.Cut(string(header.RequestURI()), "?")
	if takesPictures(path) {
		return fasthttp.RequestConfig{}
	}
	return fasthttp.RequestConfig{MaxRequestBodySize: 2 * longestBody}
}
