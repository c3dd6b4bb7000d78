package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestEveryBadRowOfOneVessel: one import, one list of all that is wrong with it.
func TestEveryBadRowOfOneVessel(t *testing.T) {
	dir := exampleStore(t)
	file := filepath.Join(t.TempDir(), "rows.csv")
	text := entryHead +
		"2024-03-10,sample,2A2-A2C,,,,161,,,,\n" +
		"2024-03-11,sample,2A2-A2C,,51.5,,61,,,,\n" +
		"2024-03-12,draw,2A2-A2C,,50,,,,,,\n" +
		"2024-03-13,sample,Q9,,,,61,,,,\n" +
		"2024-03-14,sample,Q9,,,,61,,,,\n" +
		"2024-03-15,fill,2A2-A2C,,5,,61,,,,\n" +
		"2024-03-16,sample,8W8-W75,,,,61,,,,\n" +
		"2024-03-17,sample,2A2-A2C,,,,61.5,,,,\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	code, _, err := croze("import", "--data", dir, "--entries", file)
	if code != exitBad {
		t.Fatalf("exit code %d", code)
	}
	for line := 2; line <= 8; line++ {
		if !strings.Contains(err, fmt.Sprintf("%s:%d: ", file, line)) {
			t.Errorf("line %d is not named", line)
		}
	}
	if strings.Contains(err, file+":9:") {
		t.Error("line 9 is named, and there is nothing wrong with it")
	}
}
