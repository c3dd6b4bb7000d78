package server_test

import (
	"maps"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"example.org/croze/internal/book"
)

// names are things of the demo that addresses need.
type names struct{ filled, empty, batch, lot, entry, round, plan string }

func (h house) names() names {
	h.t.Helper()
	var n names
	must(h.t, h.book.See(book.Moment{}, func(v *book.View) error {
		for _, line := range v.Stock() {
			if line.Empty() {
				n.empty = line.Vessel
			} else if line.Kind == "cask" {
				n.filled = line.Vessel
			}
		}
		n.batch, n.lot = v.Spirits()[0].Batch.Name, v.Lots()[0].Name
		n.entry = v.Entries[len(v.Entries)-1].ID
		n.round = v.Rounds()[0].ID
		n.plan = v.Plans()[0].Entry.ID
		return nil
	}))
	return n
}

// addresses gives for every route that is read an address on the demo.
func (n names) addresses() map[string]string {
	code, batch, lot := url.PathEscape(n.filled), url.PathEscape(n.batch), url.PathEscape(n.lot)
	return map[string]string{
		"/":             "/",
		"/vessels":      "/vessels?kind=cask&sort=loss",
		"/vessels/new":  "/vessels/new",
		"/instruments":  "/instruments",
		"/places":       "/places",
		"/v/:code":      "/v/" + code,
		"/v/:code/edit": "/v/" + code + "/edit",
		"/spirits":      "/spirits",
		"/spirits/new":  "/spirits/new",
		"/b/:name":      "/b/" + batch,
		"/l/:lot":       "/l/" + lot,
		"/bench":        "/bench",
		"/bench/plan":   "/bench/plan?volume_l=2&strength_pct=46&water=1&objective=oldest_first&use=" + code,
		"/book":         "/book",
		"/book/check":   "/book/check",
		"/book/export":  "/book/export",
		"/book/:id":     "/book/" + n.entry,

		"/bench/plan.json":  "/bench/plan.json?volume_l=2&strength_pct=46&water=1&stock=1&use=" + code,
		"/bench/costs":      "/bench/costs",
		"/plans":            "/plans",
		"/plans/:id":        "/plans/" + n.plan,
		"/plans/:id/file":   "/plans/" + n.plan + "/file",
		"/v/:code/bottling": "/v/" + code + "/bottling?law=EU",

		"/book/statement":      "/book/statement?from=2025-01-01&to=2025-12-31&of=kind:cask",
		"/book/statement/file": "/book/statement/file?as=pdf&from=2025-01-01&to=2025-12-31",
		"/book/limits":         "/book/limits",
		"/book/backups":        "/book/backups",

		"/labels":            "/labels",
		"/labels/sheet":      "/labels/sheet?layout=roll-62&code=" + code,
		"/sign-in":           "/sign-in",
		"/static/*":          "/static/croze.css",
		"/api/stock":         "/api/stock",
		"/api/forecast":      "/api/forecast?at=2027-06-01",
		"/v/:code/log/:kind": "/v/" + code + "/log/sample",
		"/rounds":            "/rounds",
		"/healthz":           "/healthz", "/readyz": "/readyz", "/people": "/people", "/people/me": "/people/me",
		"/sw.js": "/sw.js", "/manifest.webmanifest": "/manifest.webmanifest", "/vendor/*": "/vendor/jsQR.js",
		"/offline": "/offline", "/outbox": "/outbox", "/scan": "/scan", "/phone": "/phone", "/calendar": "/calendar",
		"/rounds/:id":     "/rounds/" + n.round,
		"/api/vessels":    "/api/vessels",
		"/api/rounds/:id": "/api/rounds/" + n.round,
	}
}

// known are all of them, those of the owner's desk too.
func (n names) known() map[string]string {
	known := n.addresses()
	maps.Copy(known, n.reviewAddresses())
	return known
}

// elsewhere are routes whose good answer is not a page: they lead on.
var elsewhere = map[string]bool{"/find": true, "/rounds/:id/next": true, "/photo/:name": true,
	"/metrics": true, "/set-up": true, "/sign-in/passkey": true, "/s/:id": true, "/certificate": true, "/calendar/:secret.ics": true}

func TestEveryRouteAnswers(t *testing.T) {
	h := demoHouse(t)
	n := h.names()
	addresses := n.known()
	for _, route := range h.app.GetRoutes(true) {
		if route.Method != http.MethodGet || elsewhere[route.Path] {
			continue
		}
		address, known := addresses[route.Path]
		if !known {
			t.Errorf("the route %s has no address in this test: add one", route.Path)
			continue
		}
		a := h.get(address)
		if a.status != http.StatusOK {
			t.Errorf("%s: status %d", address, a.status)
		}
		if strings.HasPrefix(a.header.Get("Content-Type"), "text/html") && !strings.Contains(a.body, "</html>") {
			t.Errorf("%s: half a page", address)
		}
		a.whole(t, address)
	}
}

func TestEveryEntryFormOpens(t *testing.T) {
	h := demoHouse(t)
	n := h.names()
	for _, kind := range []string{"sample", "draw", "top_up", "transfer", "reduce", "bottle", "empty", "spill", "move", "note"} {
		if a := h.get("/v/" + n.filled + "/log/" + kind); a.status != http.StatusOK || !strings.Contains(a.body, `name="id"`) {
			t.Errorf("%s of a filled vessel: status %d", kind, a.status)
		}
	}
	if a := h.get("/v/" + n.empty + "/log/fill"); a.status != http.StatusOK {
		t.Errorf("fill of an empty vessel: status %d", a.status)
	}
}

// TestVesselPagesOfTheDemo opens every vessel, batch and lot.
func TestVesselPagesOfTheDemo(t *testing.T) {
	h := demoHouse(t)
	var addresses []string
	must(t, h.book.See(book.Moment{}, func(v *book.View) error {
		for _, line := range v.Stock() {
			addresses = append(addresses, "/v/"+url.PathEscape(line.Vessel))
		}
		for _, line := range v.Spirits() {
			addresses = append(addresses, "/b/"+url.PathEscape(line.Batch.Name))
		}
		for _, lot := range v.Lots() {
			addresses = append(addresses, "/l/"+url.PathEscape(lot.Name))
		}
		return nil
	}))
	for _, address := range addresses {
		a := h.get(address)
		if a.status != http.StatusOK {
			t.Errorf("%s: status %d", address, a.status)
		}
		a.whole(t, address)
	}
}

// whole looks for what a page shows where a number or a date is missing.
func (a answer) whole(t *testing.T, address string) {
	t.Helper()
	if !strings.HasPrefix(a.header.Get("Content-Type"), "text/html") {
		return
	}
	for _, broken := range []string{"NaN", "Inf", "%!", "0xc0", "0001-01-01", "&lt;nil&gt;"} {
		if strings.Contains(a.body, broken) {
			t.Errorf("%s shows %q", address, broken)
		}
	}
}

func TestFind(t *testing.T) {
	h := smallHouse(t)
	for written, want := range map[string]string{
		"rye-1":                             "/v/RYE-1",
		"  Rye-1 ":                          "/v/RYE-1",
		"https://cellar.example/v/RYE-1":    "/v/RYE-1",
		"HTTPS://OLD-PLACE.EXAMPLE/V/OAT-1": "/v/OAT-1",
		"R1":                                "/b/R1",
		"nothing of the sort":               "/vessels?find=nothing+of+the+sort",
		"<script>alert(1)</script>":         "/vessels?find=%3Cscript%3Ealert%281%29%3C%2Fscript%3E",
		"//elsewhere.example/v":             "/vessels?find=%2F%2Felsewhere.example%2Fv",
	} {
		a := h.get("/find?code=" + url.QueryEscape(written))
		if a.status != http.StatusSeeOther || a.header.Get("Location") != want {
			t.Errorf("%q leads to %q (status %d), want %q", written, a.header.Get("Location"), a.status, want)
		}
	}
	if a := h.get("/vessels?find=%3Cscript%3Ealert%281%29%3C%2Fscript%3E"); strings.Contains(a.body, "<script>alert") {
		t.Error("what was looked for is not escaped")
	}
}

func TestWhatIsNotThere(t *testing.T) {
	h := smallHouse(t)
	long := strings.Repeat("W", 20_000)
	for _, address := range []string{"/v/" + long, "/b/" + long, "/l/" + long, "/book/" + long, "/v/" + long + "/log/sample", "/plans/" + long} {
		if a := h.get(address); a.status != http.StatusNotFound || strings.Contains(a.body, long[:200]) {
			t.Errorf("%.20s: status %d, and what was asked for is repeated over %d bytes", address, a.status, len(a.body))
		}
	}
	for address, want := range map[string]string{
		"/v/NONE":                 "no such vessel is registered",
		"/v/NONE/log/sample":      "no such vessel is registered",
		"/v/RYE-1/log/dance":      "no page of this address",
		"/v/RYE-1/log/void":       "no page of this address",
		"/b/none":                 "no such batch is registered",
		"/l/none":                 "no such bottling is recorded",
		"/book/none":              "no such entry",
		"/static/none.css":        "no page of this address",
		"/static/../embed.go":     "no page of this address",
		"/static/%2e%2e/embed.go": "no page of this address",
		"/nowhere":                "no page of this address",
	} {
		if a := h.get(address); a.status != http.StatusNotFound || !a.says(want) {
			t.Errorf("%s: status %d, and it does not say %q", address, a.status, want)
		}
	}
}
