package server_test

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"

	"example.org/croze/internal/server"
)

func TestTooMuchAtOnce(t *testing.T) {
	s := staffedHouse(t)
	last := answer{}
	for range 601 {
		last = s.post("/an/address/of/later", nil, "Cookie", s.keeper)
		if last.status == http.StatusTooManyRequests {
			break
		}
	}
	if last.status != http.StatusTooManyRequests || last.header.Get("Retry-After") != "60" {
		t.Errorf("601 writes at once: status %d", last.status)
	}
	if a := s.post("/v/RYE-1/log/note", []string{"note", "of another"}, "Cookie", s.hand); a.status != http.StatusSeeOther {
		t.Errorf("another person is held back too: status %d", a.status)
	}
	if a := s.get("/vessels", "Cookie", s.keeper); a.status != http.StatusOK {
		t.Errorf("reading is held back: status %d", a.status)
	}
	*s.now = today.Add(60e9)
	if a := s.post("/v/RYE-1/log/note", []string{"note", "later"}, "Cookie", s.keeper); a.status != http.StatusSeeOther {
		t.Errorf("a minute later: status %d", a.status)
	}
}

// served opens a house to real connections on this machine.
func (h house) served() (address string) {
	h.t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	must(h.t, err)
	done := make(chan error, 1)
	go func() { done <- h.app.Listener(listener) }()
	h.t.Cleanup(func() {
		must(h.t, h.app.Shutdown())
		must(h.t, <-done)
	})
	return "http://" + listener.Addr().String()
}

// ask sends a request that says it is for a host.
func ask(t *testing.T, address, host string) (int, string) {
	t.Helper()
	r, err := http.NewRequest(http.MethodGet, address, nil)
	must(t, err)
	r.Host, r.Close = host, true
	response, err := http.DefaultClient.Do(r)
	must(t, err)
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	must(t, err)
	return response.StatusCode, string(body)
}

// TestANameThatLeadsHere: a page of elsewhere whose name was made to lead to this
// machine does not get to read a store without accounts.
func TestANameThatLeadsHere(t *testing.T) {
	h := smallHouse(t)
	address := h.served()
	for host, want := range map[string]int{"": 200, "localhost:8080": 200, "elsewhere.example": 421, "elsewhere.example:8080": 421} {
		if status, _ := ask(t, address+"/vessels", host); status != want {
			t.Errorf("for %q: status %d, want %d", host, status, want)
		}
	}
	must(t, server.SetPassword(h.kept, password))
	if status, body := ask(t, address+"/sign-in", "cellar.example"); status != 200 || !strings.Contains(body, "Sign in") {
		t.Errorf("with an account any name will do: status %d", status)
	}
}

// TestFarTooLongIsNotRead: the answer comes before any of the body is sent, to
// all but what takes pictures, which waits for it.
func TestFarTooLongIsNotRead(t *testing.T) {
	h := smallHouse(t)
	_, address, _ := strings.Cut(h.served(), "://")
	begin := func(path string, length int, sent string) *bufio.Reader {
		conn, err := net.Dial("tcp", address)
		must(t, err)
		t.Cleanup(func() { conn.Close() })
		_, err = fmt.Fprintf(conn, "POST %s HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", path, length, sent)
		must(t, err)
		return bufio.NewReader(conn)
	}
	for _, path := range []string{"/sign-in", "/api/entries", "/bench/file", "/places?x=/api/photos", "/log/sample/x"} {
		answer, err := http.ReadResponse(begin(path, 3<<20, ""), nil)
		must(t, err)
		must(t, answer.Body.Close())
		if answer.StatusCode != http.StatusRequestEntityTooLarge {
			t.Errorf("%s: status %d", path, answer.StatusCode)
		}
	}
	for path, want := range map[string]int{"/api/photos": http.StatusUnsupportedMediaType, "/API/photos/": http.StatusUnsupportedMediaType, "/api/nowhere": http.StatusRequestEntityTooLarge} {
		answer, err := http.ReadResponse(begin(path, 3<<19, strings.Repeat("x", 3<<19)), nil)
		must(t, err)
		must(t, answer.Body.Close())
		if answer.StatusCode != want {
			t.Errorf("%s, sent whole: status %d, want %d", path, answer.StatusCode, want)
		}
	}
}

// TestNoProxyBeforeAStoreWithoutAccounts: a proxy on this machine speaks for
// the whole world, so it gets nothing of a store that asks nobody.
func TestNoProxyBeforeAStoreWithoutAccounts(t *testing.T) {
	h := smallHouse(t)
	for _, header := range []string{"X-Forwarded-For", "Forwarded", "Via"} {
		for _, path := range []string{"/vessels", "/api/stock", "/people", "/book/export"} {
			if a := h.get(path, header, "203.0.113.9"); a.status != http.StatusMisdirectedRequest || strings.Contains(a.body, rye) || !a.says("set a password first") {
				t.Errorf("%s with %s: status %d", path, header, a.status)
			}
		}
	}
	must(t, server.SetPassword(h.kept, password))
	if a := h.get("/sign-in", "X-Forwarded-For", "203.0.113.9"); a.status != http.StatusOK {
		t.Errorf("with an account: status %d", a.status)
	}
}

func TestHealthAndMeasures(t *testing.T) {
	h := smallHouse(t)
	if a := h.get("/metrics"); a.status != http.StatusForbidden {
		t.Errorf("the measures from elsewhere: status %d", a.status)
	}
	address := h.served()
	ask(t, address+"/v/RYE-1?secret=word", "")
	ask(t, address+"/nowhere", "")
	for path, want := range map[string]string{"/healthz": "alive\n", "/readyz": "ready\n"} {
		if status, body := ask(t, address+path, ""); status != 200 || body != want {
			t.Errorf("%s: status %d: %q", path, status, body)
		}
	}
	_, body := ask(t, address+"/metrics", "")
	for _, line := range []string{
		`croze_request_seconds_count{method="GET",route="/v/:code",status="200"} 1`,
		`croze_request_seconds_bucket{method="GET",route="none",status="404",le="+Inf"} 1`,
		"# TYPE croze_request_seconds histogram", "croze_goroutines ", "croze_heap_bytes ",
	} {
		if !strings.Contains(body, line) {
			t.Errorf("the measures lack %s in\n%s", line, body)
		}
	}
	if strings.Contains(body, "secret") || strings.Contains(body, "RYE") {
		t.Error("the measures say what was asked for")
	}
	must(t, h.kept.Close())
	if status, _ := ask(t, address+"/readyz", ""); status != http.StatusServiceUnavailable {
		t.Errorf("with its journal closed: status %d", status)
	}
}
