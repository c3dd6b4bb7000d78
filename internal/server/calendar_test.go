package server_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
)

var feedAddress = regexp.MustCompile(`/calendar/[A-Za-z0-9_-]{32}\.ics`)

func TestTheFeedHasASecretAddress(t *testing.T) {
	h := lockedHouse(t)
	if a := h.get("/calendar/any.ics"); a.status != notFound {
		t.Errorf("without a secret: status %d", a.status)
	}
	cookie := h.signIn()
	if a := h.get("/calendar", "Cookie", cookie); feedAddress.MatchString(a.body) || !a.says("no address yet") {
		t.Error("there is an address before anybody asked for one")
	}
	address := func() string {
		t.Helper()
		if a := h.post("/calendar/renew", nil, "Cookie", cookie); a.status != http.StatusSeeOther {
			t.Fatalf("status %d", a.status)
		}
		return feedAddress.FindString(h.get("/calendar", "Cookie", cookie).body)
	}
	first := address()
	feed := h.get(first) // nobody is signed in
	if feed.status != http.StatusOK || !strings.HasPrefix(feed.body, "BEGIN:VCALENDAR\r\n") || !strings.Contains(feed.body, "SUMMARY:Sample RYE-1") {
		t.Fatalf("status %d: %.300s", feed.status, feed.body)
	}
	if feed.header.Get("Content-Type") != "text/calendar; charset=utf-8" {
		t.Errorf("it is sent as %s", feed.header.Get("Content-Type"))
	}
	second := address()
	if second == first || h.get(first).status != notFound || h.get(second).status != http.StatusOK {
		t.Errorf("renewed: %s, then %s", first, second)
	}
	if a := h.post("/calendar/withdraw", nil, "Cookie", cookie); a.status != http.StatusSeeOther || h.get(second).status != notFound {
		t.Errorf("withdrawn (%d), it is still there", a.status)
	}
}
