package roundsjourney

import (
	"encoding/json"
	"testing"

	"github.com/chromedp/chromedp"

	"example.org/croze/internal/walk"
)

// choose sets a list or a date.
func (p *phone) choose(selector, value string) {
	p.T.Helper()
	p.Do(chromedp.SetValue(chromedp.CSS(selector), value))
}

func jsonOf(t *testing.T, value any) string {
	t.Helper()
	data, err := json.Marshal(value)
	walk.Must(t, err)
	return string(data)
}
