package server

import (
	"net"
	"net/url"
	"sync"
	"time"

	"github.com/gofiber/fiber/v2"
)

// What one person's browser, or one address, may send. A hand with a phone full of
// samples taken without a signal stays far below it.
const (
	writesAtOnce   = 600
	writesASecond  = 10
	signInsAtOnce  = 30
	signInsASecond = 0.5
	mostBuckets    = 10_000
)

// bucket is filled again as time goes by.
type bucket struct {
	left float64
	at   time.Time
}

// buckets hold back who sends too much.
type buckets struct {
	most, perSecond float64
	mu              sync.Mutex
	byKey           map[string]bucket
}

// take says whether key may send one more now.
func (b *buckets) take(key string, now time.Time) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.byKey == nil {
		b.byKey = make(map[string]bucket)
	}
	one, known := b.byKey[key]
	if !known {
		if len(b.byKey) >= mostBuckets {
			b.sweep(now)
		}
		one = bucket{b.most, now}
	}
	one.left = min(b.most, one.left+b.perSecond*max(0, now.Sub(one.at).Seconds()))
	one.at = now
	ok := one.left >= 1
	if ok {
		one.left--
	}
	b.byKey[key] = one
	return ok
}

// sweep forgets who has been quiet for long enough to be as good as new, and
// all of them if there are too many others.
func (b *buckets) sweep(now time.Time) {
	for key, one := range b.byKey {
		if one.left+b.perSecond*now.Sub(one.at).Seconds() >= b.most {
			delete(b.byKey, key)
		}
	}
	if len(b.byKey) >= mostBuckets {
		clear(b.byKey)
	}
}

// limitSignIns holds back an address that tries to get in again and again.
func (s *Server) limitSignIns(c *fiber.Ctx) error {
	if c.Method() != fiber.MethodPost || s.signIns.take(c.IP(), s.book.Now()) {
		return c.Next()
	}
	return tooMuch(c)
}

// limitWrites holds back a session, a token or an address that writes too much.
// Where nobody has an account there is nobody to hold back.
func (s *Server) limitWrites(c *fiber.Ctx) error {
	p := person(c)
	if c.Method() == fiber.MethodGet || c.Method() == fiber.MethodHead || p == nobodyAsked {
		return c.Next()
	}
	if s.writes.take(p.Name+"\x00"+p.Session+p.Token, s.book.Now()) {
		return c.Next()
	}
	return tooMuch(c)
}

func tooMuch(c *fiber.Ctx) error {
	c.Set("Retry-After", "60")
	return fiber.NewError(fiber.StatusTooManyRequests, "This is more than one can send at once. Wait a minute and send it again.")
}

// knownHost refuses a page of elsewhere whose name was made to lead to this machine:
// where nobody signs in, a request from this machine must be for it by name.
func (s *Server) knownHost(c *fiber.Ctx) error {
	if s.options.Demo || !fromHere(c) && !handedOn(c) {
		return c.Next()
	}
	empty, err := s.people.Empty()
	if err != nil || !empty {
		return errorOrNext(err, c)
	}
	if handedOn(c) {
		return fiber.NewError(fiber.StatusMisdirectedRequest, "Without accounts the store is for this machine only, and this came through a proxy: set a password first (croze password).")
	}
	host := string(c.Request().Header.Host())
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	if public, err := url.Parse(s.options.PublicURL); onlyHere(host) || err == nil && host == public.Hostname() {
		return c.Next()
	}
	return fiber.NewError(fiber.StatusMisdirectedRequest, "Without accounts the store answers to localhost only: open it there, or say its name with --public-url.")
}

func errorOrNext(err error, c *fiber.Ctx) error {
	if err != nil {
		return err
	}
	return c.Next()
}
