package roundsjourney

import (
	"encoding/json"
	"testing"

	"github.com/chromedp/chromedp"
)

// choose sets a list or a date.
func (p *phone) choose(selector, value string) {
	p.t.Helper()
	p.do(chromedp.SetValue(chromedp.CSS(selector), value))
}

func jsonOf(t *testing.T, value any) string {
	t.Helper()
	data, err := json.Marshal(value)
	must(t, err)
	return string(data)
}
