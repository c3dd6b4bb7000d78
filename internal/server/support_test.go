package server_test

import (
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gofiber/fiber/v2"
	"github.com/oklog/ulid/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/label"
	"example.org/croze/internal/openhouse"
	"example.org/croze/internal/server"
	"example.org/croze/labels"
)

// today is the day on which all tests of the pages take place.
var today = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

// house is a book behind its pages, in memory.
type house struct {
	t    testing.TB
	app  *fiber.App
	book *book.Book
	kept *journal.Memory
	now  *time.Time
}

// open serves a journal.
func open(kept *journal.Memory, demo bool) (house, error) {
	h := house{kept: kept, now: new(time.Time)}
	*h.now = today
	var err error
	h.book, err = book.Open(kept, book.Edge{Now: func() time.Time { return *h.now }, NewID: ids(1)})
	if err != nil {
		return h, err
	}
	layouts, err := label.Layouts(labels.Files)
	if err != nil {
		return h, err
	}
	h.app, err = server.New(h.book, server.Options{Demo: demo, Layouts: layouts, Log: slog.New(slog.DiscardHandler)})
	return h, err
}

// servedWith is the same house behind pages with other options.
func (h house) servedWith(options server.Options) house {
	h.t.Helper()
	if options.Log == nil {
		options.Log = slog.New(slog.DiscardHandler)
	}
	var err error
	h.app, err = server.New(h.book, options)
	must(h.t, err)
	return h
}

// ids makes ULIDs that are the same in every run.
func ids(seed uint64) func(time.Time) string {
	var mu sync.Mutex
	random := rand.NewChaCha8([32]byte{byte(seed)})
	return func(at time.Time) string {
		mu.Lock()
		defer mu.Unlock()
		return ulid.MustNew(ulid.Timestamp(at), random).String()
	}
}

// theDemo is told and served once for all tests.
var theDemo = sync.OnceValues(func() (house, error) {
	kept := journal.NewMemory()
	if err := openhouse.Fill(kept, 7, today, ids(2)); err != nil {
		return house{}, err
	}
	return open(kept, true)
})

// demoHouse serves the story of the demo. Tests must not write to it.
func demoHouse(t testing.TB) house {
	t.Helper()
	h, err := theDemo()
	must(t, err)
	h.t = t
	return h
}

// The vessels of the small house.
const (
	rye   = "RYE-1"   // a cask with 40 of 50 litres
	oat   = "OAT-1"   // a jar with 4 of 5 litres
	spare = "SPARE-1" // an empty cask
)

// emptyHouse serves a store that was just made.
func emptyHouse(t testing.TB) house {
	t.Helper()
	h, err := open(journal.NewMemory(), false)
	must(t, err)
	h.t = t
	return h
}

// smallHouse serves a new store with two filled vessels and an empty one.
func smallHouse(t testing.TB) house {
	t.Helper()
	h := emptyHouse(t)
	must(t, h.book.RegisterPlace("", "keeper", cellar.Place{Name: "Lower store"}))
	for _, v := range []cellar.Vessel{
		{Code: rye, Kind: cellar.Cask, CapacityL: 50, Wood: "oak", WoodState: cellar.NewWood, Place: "Lower store", TareKg: 14},
		{Code: oat, Kind: cellar.Jar, CapacityL: 5, Wood: "oak", WoodState: cellar.UsedWood, WoodAreaM2: 0.04},
		{Code: spare, Kind: cellar.Cask, CapacityL: 30, Wood: "oak"},
	} {
		_, err := h.book.RegisterNewVessel("", "keeper", v)
		must(t, err)
	}
	made := cellar.Batch{Name: "R1", MadeOn: cellar.DayOf(today) - 400, VolumeL: 60, StrengthPct: 63, Grains: map[string]float64{"rye": 1}}
	must(t, h.book.RegisterNewBatch("", "keeper", made, nil))
	h.record(cellar.Request{When: today.AddDate(0, 0, -390), Entry: "fill", Vessel: rye, From: "R1", VolumeL: number(40), StrengthPct: number(63)})
	h.record(cellar.Request{When: today.AddDate(0, 0, -380), Entry: "fill", Vessel: oat, From: "R1", VolumeL: number(4), StrengthPct: number(63)})
	return h
}

func (h house) record(r cellar.Request) cellar.Entry {
	h.t.Helper()
	e, err := h.book.Record(book.Submission{Who: "keeper", Request: r, Sure: true})
	must(h.t, err)
	return e
}

func number(x float64) *float64 { return &x }

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// answer is what came back.
type answer struct {
	status int
	header http.Header
	body   string
}

// says looks for a text as a reader of the page would, entities undone.
func (a answer) says(text string) bool {
	plain := strings.NewReplacer("&#34;", `"`, "&#39;", "'", "&amp;", "&", "&#43;", "+").Replace(a.body)
	return strings.Contains(plain, text)
}

func (h house) do(r *http.Request, headers ...string) answer {
	h.t.Helper()
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	response, err := h.app.Test(r, -1)
	must(h.t, err)
	body, err := io.ReadAll(response.Body)
	must(h.t, err)
	must(h.t, response.Body.Close())
	return answer{response.StatusCode, response.Header, string(body)}
}

func (h house) get(address string, headers ...string) answer {
	h.t.Helper()
	return h.do(httptest.NewRequest(http.MethodGet, address, nil), headers...)
}

// post sends a form, its fields as name and value in turn.
func (h house) post(address string, fields []string, headers ...string) answer {
	h.t.Helper()
	values := url.Values{}
	for i := 0; i+1 < len(fields); i += 2 {
		values.Add(fields[i], fields[i+1])
	}
	r := httptest.NewRequest(http.MethodPost, address, strings.NewReader(values.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return h.do(r, headers...)
}

func (h house) postJSON(address, body string) answer {
	h.t.Helper()
	r := httptest.NewRequest(http.MethodPost, address, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	return h.do(r)
}

// head says how far the journal is.
func (h house) head() string {
	h.t.Helper()
	head, err := h.kept.Head()
	must(h.t, err)
	return fmt.Sprintf("%d %x", head.Seq, head.Hash)
}

// unchanged does something that must leave the journal as it is.
func (h house) unchanged(what string, do func() answer) answer {
	h.t.Helper()
	before := h.head()
	a := do()
	if after := h.head(); after != before {
		h.t.Errorf("%s: the journal went from %s to %s", what, before, after)
	}
	return a
}

// wrongCode is a code of the book's own form with another check character.
func wrongCode() string {
	code := cellar.IssueCode(5)
	last := byte('2')
	if code[len(code)-1] == last {
		last = '3'
	}
	return code[:len(code)-1] + string(last)
}
