package label

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.org/croze/internal/cellar"
)

func TestAddress(t *testing.T) {
	cases := []struct {
		publicURL string
		thing     Thing
		code      string
		want      string
	}{
		{"https://cellar.example", Vessel, "7K4-M2W", "HTTPS://CELLAR.EXAMPLE/V/7K4-M2W"},
		{"http://192.0.2.7:8080/", Vessel, "cask 12", "HTTP://192.0.2.7:8080/V/CASK%2012"},
		{"https://farm.example/croze/", Batch, "Rye_1/2", "HTTPS://FARM.EXAMPLE/CROZE/B/RYE%5F1%2F2"},
		{"https://cellar.example", Sample, "fût", "HTTPS://CELLAR.EXAMPLE/S/F%C3%9BT"},
	}
	for _, c := range cases {
		if got, err := Address(c.publicURL, c.thing, c.code); got != c.want || err != nil {
			t.Errorf("Address(%q, %s, %q) = %q, %v; want %q", c.publicURL, c.thing, c.code, got, err, c.want)
		}
	}
}

func TestAddressRefuses(t *testing.T) {
	cases := []struct {
		publicURL string
		thing     Thing
		code      string
		reason    string
	}{
		{"cellar.example", Vessel, "A", "no web address"},
		{"ftp://cellar.example", Vessel, "A", "no web address"},
		{"https://", Vessel, "A", "no web address"},
		{"https://a@cellar.example", Vessel, "A", "user"},
		{"https://cellar.example/?x=1", Vessel, "A", "question mark"},
		{"https://cellar.example", "X", "A", "no kind of thing"},
		{"https://cellar.example", Vessel, " ", "1 to 60"},
		{"https://cellar.example", Vessel, "a\nb", "control"},
		{"https://cellar.example", Vessel, strings.Repeat("a", 61), "1 to 60"},
	}
	for _, c := range cases {
		if got, err := Address(c.publicURL, c.thing, c.code); err == nil || !strings.Contains(err.Error(), c.reason) {
			t.Errorf("Address(%q, %s, %q) = %q, %v; want an error saying %q", c.publicURL, c.thing, c.code, got, err, c.reason)
		}
	}
}

// Whatever code a vessel carries and wherever the store is served, the address
// stays in the alphanumeric mode and gives the code back, capitals apart.
func TestScanReadsBackEveryAddress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		typed := rapid.StringMatching(`[A-Za-z0-9äé][-A-Za-z0-9_./ äé]{0,30}`).Draw(t, "code")
		code, _, err := cellar.ParseCode(typed)
		if err != nil {
			return
		}
		base := rapid.SampledFrom([]string{shortAddress, longAddress, "http://192.0.2.7", "https://farm.example/deep/path"}).Draw(t, "base")
		address, err := Address(base, Vessel, code)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Trim(address, alphanumeric) != "" {
			t.Fatalf("%s leaves the alphanumeric mode", address)
		}
		got, ok := CodeFromScan(address)
		if !ok || !strings.EqualFold(got, code) {
			t.Fatalf("%s reads back as %q, %v; want %q", address, got, ok, code)
		}
	})
}

const alphanumeric = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"

func TestCodeFromScan(t *testing.T) {
	code := cellar.IssueCode(11)
	bare := strings.ReplaceAll(code, "-", "")
	wrong := code[:6] + map[bool]string{true: "3", false: "2"}[code[6] == '2']
	cases := []struct {
		text, want string
		ok         bool
	}{
		{"HTTPS://OLD.EXAMPLE/V/" + code, code, true},
		{"https://new.example:8443/some/where/v/" + strings.ToLower(bare) + "/", code, true},
		{" " + bare + "\n", code, true},
		{"HTTPS://OLD.EXAMPLE/V/CASK%2012?x=1#y", "CASK 12", true},
		{"cask 12", "cask 12", true},
		{"HTTPS://OLD.EXAMPLE/V/" + wrong, "", false},
		{wrong, "", false},
		{"HTTPS://OLD.EXAMPLE/B/RYE", "", false},
		{"https://old.example/about", "", false},
		{"https://old.example/V/", "", false},
		{"ftp://old.example/V/A", "", false},
		{"https://old.example/V/%ZZ", "", false},
		{"WIFI:S:barn;P:secret;;", "", false},
		{"", "", false},
		{"https://old.example/V/" + strings.Repeat("A", 3000), "", false},
	}
	for _, c := range cases {
		if got, ok := CodeFromScan(c.text); got != c.want || ok != c.ok {
			t.Errorf("CodeFromScan(%q) = %q, %v; want %q, %v", c.text, got, ok, c.want, c.ok)
		}
	}
}

func TestScanTellsThingsApart(t *testing.T) {
	for _, thing := range []Thing{Vessel, Batch, BottleLot, Sample} {
		address, err := Address(shortAddress, thing, "R12")
		if err != nil {
			t.Fatal(err)
		}
		if got, code, ok := Scan(address); got != thing || code != "R12" || !ok {
			t.Errorf("Scan(%s) = %s, %s, %v", address, got, code, ok)
		}
	}
}

func FuzzScan(f *testing.F) {
	f.Add("HTTPS://CELLAR.EXAMPLE/V/7K4-M2W")
	f.Add("7K4M2W")
	f.Fuzz(func(t *testing.T, text string) {
		thing, code, ok := Scan(text)
		if !ok {
			return
		}
		address, err := Address(shortAddress, thing, code)
		if err != nil {
			t.Fatalf("%q reads as %q, which has no address: %v", text, code, err)
		}
		if again, ok := CodeFromScan(address); thing == Vessel && (!ok || !strings.EqualFold(again, strings.ToUpper(code))) {
			t.Fatalf("%q reads as %q, whose address reads as %q", text, code, again)
		}
	})
}
