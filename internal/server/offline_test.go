package server_test

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"image"
	"image/png"
	"log/slog"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/photo"
	"example.org/croze/internal/server"
)

// TestAnEntrySentAgainCountsOnce is what the outbox of a phone relies on: the
// same ID is one entry, whatever the answer to the first was, and with whatever
// time it comes again.
func TestAnEntrySentAgainCountsOnce(t *testing.T) {
	h := smallHouse(t)
	before := h.count()
	const id = "01KAYQ5W0000000000000000AB"
	first := h.postJSON("/api/entries", `{"id":"`+id+`","entry":"sample","vessel":"RYE-1","strength_pct":62}`)
	again := h.postJSON("/api/entries", `{"id":"`+id+`","entry":"sample","vessel":"RYE-1","strength_pct":62,"when":"2026-11-25T11:30:00+01:00"}`)
	if first.status != http.StatusCreated || again.status != http.StatusCreated || first.body != again.body {
		t.Errorf("status %d %s, then %d %s", first.status, first.body, again.status, again.body)
	}
	if got := h.count() - before; got != 1 {
		t.Errorf("%d entries", got)
	}
}

// TestConflictsComeBackWithTheirReason empties a vessel that a phone without a
// signal has sampled meanwhile.
func TestConflictsComeBackWithTheirReason(t *testing.T) {
	h := smallHouse(t)
	h.record(cellar.Request{When: today.AddDate(0, 0, -1), Entry: "empty", Vessel: rye})
	body := `{"id":"01KAYQ5W0000000000000000AB","entry":"sample","vessel":"RYE-1","strength_pct":62,"when":"2026-11-25T09:00:00Z"}`
	a := h.unchanged("a sample of what is gone", func() answer { return h.postJSON("/api/entries", body) })
	var said struct{ Error, Kind string }
	must(t, json.Unmarshal([]byte(a.body), &said))
	if a.status != unprocessable || said.Kind != "refused" || !strings.Contains(said.Error, "it is empty on 2026-11-25") {
		t.Errorf("status %d: %+v", a.status, said)
	}
	// A sample of before it was emptied holds.
	earlier := strings.Replace(body, "2026-11-25T09", "2026-11-20T09", 1)
	if a := h.postJSON("/api/entries", earlier); a.status != http.StatusCreated {
		t.Errorf("a sample of before: status %d: %s", a.status, a.body)
	}
}

func TestASkipIsAnEntryToo(t *testing.T) {
	h := smallHouse(t)
	round := h.begun()
	body := `{"id":"01KAYQ5W0000000000000000AC","entry":"round_skip","vessel":"RYE-1","round":"` + round + `","note":"dark","when":"2026-11-25T09:00:00Z"}`
	for range 2 {
		if a := h.postJSON("/api/entries", body); a.status != http.StatusCreated {
			t.Errorf("status %d: %s", a.status, a.body)
		}
	}
	if a := h.get("/rounds/" + round); !a.says("1 skipped") {
		t.Error("the round does not show it")
	}
}

// TestFramesNeedNoSignIn opens what a phone keeps before anybody signed in.
func TestFramesNeedNoSignIn(t *testing.T) {
	h := lockedHouse(t)
	for _, address := range []string{"/offline", "/outbox", "/scan", "/phone", "/sw.js", "/manifest.webmanifest", "/vendor/jsQR.js", "/static/outbox.js"} {
		a := h.get(address)
		if a.status != http.StatusOK || strings.Contains(a.body, rye) {
			t.Errorf("%s: status %d, or it names a vessel", address, a.status)
		}
	}
	for _, address := range []string{"/rounds", "/calendar", "/api/vessels", "/photo/" + strings.Repeat("0", 64)} {
		if a := h.get(address); a.status == http.StatusOK {
			t.Errorf("%s is open to everybody", address)
		}
	}
}

// TestTheWorkerKeepsFilesThatAreThere reads the list in the service worker.
func TestTheWorkerKeepsFilesThatAreThere(t *testing.T) {
	h := smallHouse(t)
	worker := h.get("/sw.js")
	list := regexp.MustCompile(`files = (\[[^\]]*\])`).FindStringSubmatch(worker.body)
	if list == nil || !strings.Contains(worker.header.Get("Content-Type"), "javascript") {
		t.Fatalf("no list in the worker: %.200s", worker.body)
	}
	var files []string
	must(t, json.Unmarshal([]byte(list[1]), &files))
	for _, path := range files {
		if a := h.get(path); a.status != http.StatusOK {
			t.Errorf("%s: status %d", path, a.status)
		}
	}
	if len(files) < 10 || worker.header.Get("Cache-Control") != "no-cache" {
		t.Errorf("%d files are kept; Cache-Control is %q", len(files), worker.header.Get("Cache-Control"))
	}
}

// sampleWithPhoto is the form of a sample as a browser without scripts sends it.
func sampleWithPhoto(t *testing.T, picture []byte, fields ...string) *http.Request {
	t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for i := 0; i+1 < len(fields); i += 2 {
		must(t, w.WriteField(fields[i], fields[i+1]))
	}
	part, err := w.CreateFormFile("photo", "glass.png")
	must(t, err)
	_, err = part.Write(picture)
	must(t, err)
	must(t, w.Close())
	r := httptest.NewRequest(http.MethodPost, "/v/RYE-1/log/sample", &body)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return r
}

func aPicture(t *testing.T) []byte {
	t.Helper()
	var out bytes.Buffer
	must(t, png.Encode(&out, image.NewGray(image.Rect(0, 0, 30, 20))))
	return out.Bytes()
}

// houseWithPhotos keeps pictures in a folder of the test.
func houseWithPhotos(t *testing.T) house {
	t.Helper()
	h := smallHouse(t)
	var err error
	h.app, err = server.New(h.book, server.Options{Photos: photo.Folder(t.TempDir()), Log: slog.New(slog.DiscardHandler)})
	must(t, err)
	return h
}

func TestAPhotoIsKept(t *testing.T) {
	h := houseWithPhotos(t)
	if a := h.do(sampleWithPhoto(t, aPicture(t), "strength", "62", "scale", "corrected", "colour", "straw", "colour_words", "a little green")); a.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", a.status, problemOf(a))
	}
	page := h.get("/v/RYE-1")
	link := regexp.MustCompile(`/photo/[0-9a-f]{64}`).FindString(page.body)
	if link == "" || !page.says("straw, a little green") {
		t.Fatal("the history does not show the photo and the colour")
	}
	a := h.get(link)
	if a.status != http.StatusOK || a.header.Get("Content-Type") != "image/jpeg" || !strings.Contains(a.header.Get("Content-Security-Policy"), "sandbox") {
		t.Errorf("status %d, %v", a.status, a.header)
	}
	// Sent by the page's own script, the same picture has the same name.
	r := httptest.NewRequest(http.MethodPost, "/api/photos", bytes.NewReader(aPicture(t)))
	r.Header.Set("Content-Type", "image/png")
	if a := h.do(r); a.status != http.StatusCreated || !strings.Contains(a.body, strings.TrimPrefix(link, "/photo/")) {
		t.Errorf("status %d: %s", a.status, a.body)
	}
}

func TestPhotosThatAreNone(t *testing.T) {
	h := houseWithPhotos(t)
	a := h.unchanged("no picture", func() answer {
		return h.do(sampleWithPhoto(t, []byte("<svg onload=alert(1)>"), "strength", "62", "scale", "corrected", "nose", "pear"))
	})
	if a.status != unprocessable || !a.says("no JPEG or PNG") || !strings.Contains(a.body, `value="pear"`) {
		t.Errorf("status %d: %s", a.status, problemOf(a))
	}
	for _, c := range []struct {
		kind string
		size int
		want int
	}{{"text/html", 10, http.StatusUnsupportedMediaType}, {"image/png", 10, unprocessable}, {"image/png", photo.MostBytes + 1, http.StatusRequestEntityTooLarge}} {
		r := httptest.NewRequest(http.MethodPost, "/api/photos", bytes.NewReader(make([]byte, c.size)))
		r.Header.Set("Content-Type", c.kind)
		response, err := h.app.Test(r, -1)
		if err != nil { // the connection is cut off when far too much comes
			continue
		}
		if response.StatusCode != c.want {
			t.Errorf("%d bytes of %s: status %d, want %d", c.size, c.kind, response.StatusCode, c.want)
		}
	}
	if a := h.get("/photo/" + strings.Repeat("0", 64)); a.status != notFound {
		t.Errorf("a photo that was never kept: status %d", a.status)
	}
}

// TestPackedBodies: a request that would unpack to far more than it is long is
// refused before anybody unpacks it, whoever sends it.
func TestPackedBodies(t *testing.T) {
	s := staffedHouse(t)
	var packed bytes.Buffer
	pack := gzip.NewWriter(&packed)
	_, err := pack.Write(bytes.Repeat([]byte(" "), 8<<20))
	must(t, errors.Join(err, pack.Close()))
	for _, path := range []string{"/sign-in", "/sign-in/passkey/look", "/set-up", "/api/plan", "/api/entries", "/api/photos", "/bench/file", "/v/RYE-1/log/sample"} {
		for _, how := range []string{"gzip", "br", "deflate", "zstd", "GZIP", "identity, gzip"} {
			for _, kind := range []string{"application/json", "multipart/form-data; boundary=x", "image/png"} {
				r := httptest.NewRequest(http.MethodPost, path, bytes.NewReader(packed.Bytes()))
				r.Header.Set("Content-Type", kind)
				if a := s.do(r, "Content-Encoding", how, "Cookie", s.keeper); a.status != http.StatusUnsupportedMediaType {
					t.Errorf("%s, %s of %s: status %d", path, how, kind, a.status)
				}
			}
		}
	}
}

// Only what takes pictures takes long bodies.
func TestLongBodies(t *testing.T) {
	h := smallHouse(t)
	long := strings.Repeat("x", 1<<20+1)
	if a := h.unchanged("a long form", func() answer { return h.post("/places", []string{"place", long}) }); a.status != http.StatusRequestEntityTooLarge {
		t.Errorf("a long form: status %d", a.status)
	}
}
