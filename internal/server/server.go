package server

import (
	"log/slog"
	"net/url"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"
	"github.com/gofiber/fiber/v2/middleware/compress"
	"github.com/gofiber/fiber/v2/middleware/recover"

	"example.org/croze/internal/book"
	"example.org/croze/internal/keep"
	"example.org/croze/internal/label"
	"example.org/croze/internal/people"
	"example.org/croze/internal/photo"
)

// Options says how a book is served.
type Options struct {
	PublicURL string // what labels hold, such as https://cellar.example; "" has each request's own address
	Demo      bool   // an invented store: said on every page
	Layouts   label.LayoutSet
	Photos    photo.Folder // where pictures of samples are kept; "": nowhere
	Authority []byte       // the certificate that phones are told to trust, PEM; nil: none of the program's own
	Log       *slog.Logger
	Backups   *keep.Keeper  // nil: none are made
	People    *people.House // nil: those that are kept beside the journal

	SecureOnly bool // browsers are told to come to this host over https alone (HSTS)
}

// people are those who may come in. The parts of the public name are no secret.
func (o Options) people(b *book.Book) *people.House {
	house := o.People
	if house == nil {
		house = people.Open(b.Journal(), b.Now)
	}
	if public, err := url.Parse(o.PublicURL); err == nil {
		house.Called(strings.Split(public.Hostname(), ".")...)
	}
	return house
}

// Server serves one book.
type Server struct {
	book     *book.Book
	options  Options
	pages    *pages
	people   *people.House
	measures measures
	turns    turns
	writes   buckets
	signIns  buckets
	attempts attempts
}

// Limits of a request.
const (
	longestBody    = 1 << 20 // bytes; forms and entries are far smaller
	longestReading = 30 * time.Second
	longestWriting = 2 * time.Minute // a sheet of many labels takes a while
)

// New makes the application. The book stays the caller's.
func New(b *book.Book, options Options) (*fiber.App, error) {
	pages, err := parsePages()
	if err != nil {
		return nil, err
	}
	s := &Server{book: b, options: options, pages: pages, people: options.people(b), turns: newTurns()}
	s.writes, s.signIns = buckets{most: writesAtOnce, perSecond: writesASecond}, buckets{most: signInsAtOnce, perSecond: signInsASecond}
	app := fiber.New(fiber.Config{
		AppName: "Croze", DisableStartupMessage: true, BodyLimit: photo.MostBytes, ReadBufferSize: longestAddress,
		ReadTimeout: longestReading, WriteTimeout: longestWriting,
		ErrorHandler: s.showError, Immutable: true,
	})
	app.Server().HeaderReceived = notFarTooLong
	app.Use(s.watched, recover.New(), s.safeHeaders)
	app.Get("/healthz", s.alive)
	app.Get("/readyz", s.readyz)
	app.Get("/metrics", s.metrics)
	app.Use(s.knownHost, sameOrigin, shortBodies)
	app.Use(compress.New())
	s.assets(app)
	app.Get("/sign-in", s.signInForm)
	app.Post("/sign-in", s.limitSignIns, s.signIn)
	app.Get("/sign-in/passkey", s.passkeyForm)
	app.Post("/sign-in/passkey/begin", s.limitSignIns, s.askForPasskey)
	app.Post("/sign-in/passkey", s.limitSignIns, s.signInByPasskey)
	app.Get("/set-up", s.setupForm)
	app.Post("/set-up", s.limitSignIns, s.setUp)
	s.openRoutes(app)
	app.Use(s.requireSignIn, s.requireRole, s.limitWrites, s.inTurn)
	s.routes(app)
	return app, nil
}

// routes lists every address of the application.
func (s *Server) routes(app *fiber.App) {
	app.Get("/", s.today)
	app.Get("/vessels", s.vessels)
	app.Get("/vessels/new", s.vesselForm)
	app.Post("/vessels/new", s.registerVessel)
	app.Get("/places", s.places)
	app.Post("/places", s.registerPlace)
	app.Post("/places/climate", s.logClimate)
	app.Get("/instruments", s.instruments)
	app.Post("/instruments", s.registerInstrument)
	app.Get("/find", s.find)
	app.Get("/v/:code", s.vessel)
	app.Get("/v/:code/edit", s.vesselForm)
	app.Post("/v/:code/edit", s.registerVessel)
	app.Get("/v/:code/log/:kind", s.entryForm)
	app.Post("/v/:code/log/:kind", s.logEntry)
	app.Get("/spirits", s.spirits)
	app.Get("/spirits/new", s.batchForm)
	app.Post("/spirits/new", s.registerBatch)
	app.Get("/b/:name", s.batch)
	app.Get("/l/:lot", s.lot)
	s.benchRoutes(app)
	app.Get("/book", s.journal)
	app.Get("/book/check", s.checkBook)
	app.Get("/book/export", s.exportBook)
	app.Get("/book/statement", s.statement)
	app.Get("/book/statement/file", s.statementFile)
	app.Post("/book/statement/close", s.closePeriod)
	app.Post("/book/statement/explain", s.explainLoss)
	app.Get("/book/limits", s.limits)
	app.Post("/book/limits", s.setLimit)
	app.Get("/book/backups", s.backups)
	app.Post("/book/backups", s.backUp)
	app.Get("/book/:id", s.entry)
	app.Post("/book/:id/void", s.voidEntry)
	app.Get("/labels", s.labels)
	app.Get("/labels/sheet", s.labelSheet)
	s.roundRoutes(app)
	s.reviewRoutes(app)
	s.peopleRoutes(app)
	app.Post("/sign-out", s.signOut)
	app.Get("/api/stock", s.apiStock)
	app.Get("/api/forecast", s.apiForecast)
	app.Post("/api/plan", s.apiPlan)
	app.Post("/api/preview", s.apiPreview)
	app.Post("/api/entries", s.apiEntry)
}
