package book_test

import (
	"testing"

	"example.org/croze/internal/demo"
)

// demoStory is the story behind demoHouse.
func demoStory(t *testing.T) *demo.Story {
	t.Helper()
	story, err := demo.Tell(7, new(clock).on("2026-11-25").now)
	if err != nil {
		t.Fatal(err)
	}
	return story
}
