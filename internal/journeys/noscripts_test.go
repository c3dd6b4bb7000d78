package journeys

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"example.org/croze/internal/walk"
)

// logWithoutScripts logs a sample in a browser that runs no scripts: first one
// that is refused, then an unlikely one, then it stands by it.
func (b *tab) logWithoutScripts(p program, code string) {
	b.T.Helper()
	plain := p.tab(b.T, walk.Phone)
	plain.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
	plain.open("/v/" + code)
	plain.follow(`a.button[href$="/log/sample"]`)
	plain.write("strength", "56,5")
	plain.write("temp_c", "18")
	plain.refused(".primary", 422)
	plain.Says(".problem", `Reading: "56,5"`)
	plain.picture("14-refused")
	plain.write("strength", "75")
	plain.refused(".primary", 422)
	plain.Says(".questions", "Please look again.")
	plain.picture("15-doubts")
	plain.write("strength", "56.5")
	plain.follow(".primary")
	plain.Says("main", "Saved.")
	plain.Says(".history li:first-child", "% vol")
	plain.picture("16-without-scripts")
}

// refused presses a button and expects to be told off.
func (b *tab) refused(selector string, status int64) {
	b.T.Helper()
	if got := b.lands(press(selector)); got != status {
		b.T.Fatalf("%s: status %d, want %d", b.Address(), got, status)
	}
}
