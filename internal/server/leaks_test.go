package server_test

import (
	"testing"

	"example.org/croze/internal/tidy/leaks"
)

// TestMain fails when tests leave goroutines of the program behind.
func TestMain(m *testing.M) { leaks.Main(m) }
