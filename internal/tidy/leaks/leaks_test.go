package leaks

import "testing"

// TestAGoroutineIsSeenUntilItEnds.
func TestAGoroutineIsSeenUntilItEnds(t *testing.T) {
	here := []string{"tidy/leaks"}
	started, end := make(chan bool), make(chan bool)
	go func() {
		started <- true
		<-end
	}()
	<-started
	if running(here) == "" {
		t.Error("a goroutine that waits is not seen")
	}
	close(end)
	if left := waitFor(here); left != "" {
		t.Errorf("one that has ended is seen:\n%s", left)
	}
	None(t)
}
