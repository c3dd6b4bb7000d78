package server

import (
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/people"
)

// handKinds are the entries that a hand may write: what happens in the store. What
// takes back, closes or registers is a keeper's.
var handKinds = []string{
	"sample", "fill", "draw", "top_up", "transfer", "reduce", "blend", "bottle", "empty", "rinse", "spill", "move", "note", "aim", "round_skip",
}

// handWrites are the other addresses at which a hand may write.
var handWrites = []string{"/rounds", "/rounds/*/skip", "/api/photos", "/api/preview", "/book/*/undo", "/v/*/bottling", "/plans/*/made"}

// readerWrites only work something out or are the person's own.
var readerWrites = []string{"/sign-out", "/bench/plan", "/bench/file", "/api/plan", "/people/me/*", "/people/me/*/*"}

// ownerWrites are rules of the house, beside who may do what.
var ownerWrites = []string{"/book/limits"}

// keeperReads are what shows who did what, or all of it at once.
var keeperReads = []string{"/book/export", "/book/backups"}

// onlyForms are pages that are nothing but the form for what is sent to the same address.
var onlyForms = []string{"/v/*/log/*", "/v/*/edit", "/vessels/new", "/spirits/new"}

// needs is the role that a request asks for. What is not listed is a keeper's
// to write, so that a new address is closed until it is thought about.
func needs(method, path string) people.Role {
	kind := ""
	if i := strings.LastIndex(path, "/log/"); i >= 0 {
		kind = path[i+len("/log/"):]
	}
	reading := method == fiber.MethodGet || method == fiber.MethodHead || method == fiber.MethodOptions
	switch {
	case among(readerWrites, path) || reading && path == "/people/me":
		return people.Reader
	case path == "/people" || strings.HasPrefix(path, "/people/"), !reading && among(ownerWrites, path):
		return people.Owner
	case reading && among(keeperReads, path):
		return people.Keeper
	case reading && among(onlyForms, path):
		return needs(fiber.MethodPost, path)
	case reading:
		return people.Reader
	case among([]string{"/v/*/log/*"}, path) && slices.Contains(handKinds, kind), among(handWrites, path):
		return people.Hand
	case path == "/api/entries":
		return people.Hand // and mayLog looks at its kind
	}
	return people.Keeper
}

// routed is a path as the router compares it, which minds neither case nor how
// many slashes stand at the end.
func routed(path string) string { return strings.TrimRight(strings.ToLower(path), "/") }

// among matches a path against patterns in which * is one part.
func among(patterns []string, path string) bool {
	parts := strings.Split(path, "/")
	return slices.ContainsFunc(patterns, func(pattern string) bool {
		return slices.EqualFunc(strings.Split(pattern, "/"), parts, func(want, part string) bool { return want == "*" || want == part })
	})
}

// requireRole refuses what the person may not do. Reading is open to all who are in.
func (s *Server) requireRole(c *fiber.Ctx) error {
	p, path := person(c), routed(c.Path())
	need := needs(c.Method(), path)
	if !p.Role.May(need) || p.Token != "" && strings.HasPrefix(path, "/people") {
		return mayNot(need)
	}
	if strings.HasSuffix(path, "/undo") && !p.Role.May(people.Keeper) {
		return s.ownEntry(c, p)
	}
	return c.Next()
}

func mayNot(need people.Role) error {
	return fiber.NewError(fiber.StatusForbidden, "This is for "+theRole(need)+". Ask the owner of the store if it should be yours.")
}

// ownEntry lets a hand take back only what they wrote themselves.
func (s *Server) ownEntry(c *fiber.Ctx, p people.Person) error {
	parts := strings.Split(strings.Trim(c.Path(), "/"), "/")
	own := false
	err := s.book.Glance(book.Moment{}, func(v *book.View) error {
		e, found := v.EntryByID(parts[max(0, len(parts)-2)])
		own = found && e.Who == p.Name
		return nil
	})
	if err != nil {
		return err
	}
	if !own {
		return mayNot(people.Keeper)
	}
	return c.Next()
}

// mayLog says whether the person may write an entry of a kind.
func mayLog(c *fiber.Ctx, r cellar.Request) error {
	need := people.Keeper
	if slices.Contains(handKinds, r.Entry) {
		need = people.Hand
	}
	if !person(c).Role.May(need) {
		return mayNot(need)
	}
	return nil
}
