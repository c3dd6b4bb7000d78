package spirit

import (
	"math"
	"testing"
)

// must fails the test where a call that has to succeed does not.
func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// failer is what testing and rapid have in common here.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
}

// near reports a value that is further from what is wanted than allowed.
func near(t failer, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.7g, want %.7g within %.2g (off by %.2g)", what, got, want, within, got-want)
	}
}
