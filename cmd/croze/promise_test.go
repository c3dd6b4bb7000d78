package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestJSONNames holds the results for programs to the names that were
// promised. Names may be added to them, and none may go.
func TestJSONNames(t *testing.T) {
	dir := exampleStore(t)
	for _, c := range []struct{ command, names string }{
		{"stock", "vessel on kind place volume_l volume_sd_l strength_pct strength_sd pure_alcohol_l age_days youngest_days loss_pct_per_year drift_pct_per_year flags"},
		{"stock --on 2022-01-01 --known 2024-06-01", "vessel on kind place volume_l volume_sd_l strength_pct strength_sd pure_alcohol_l age_days youngest_days loss_pct_per_year drift_pct_per_year flags"},
		{"forecast --at 2026-01-01", "vessel at volume_l volume_sd_l volume_lo_l volume_hi_l strength_pct strength_sd strength_lo_pct strength_hi_pct pure_alcohol_l flags"},
		{"strength --reading 60 --temp 15", "strength_pct strength_sd proof_us density_kg_m3 mass_fraction"},
		{"reduce --volume 30 --from 62 --to 46", "water_l water_kg volume_l contraction_l portions"},
		{"plan " + filepath.Join(imports, "plan-own.json"), "status objective draws water_l water_kg result"},
		{"plan " + filepath.Join(imports, "plan-too-much.json"), "status objective clash nearest"},
		{"check", "entries head accounts"},
	} {
		args := append(strings.Fields(c.command), "--json")
		if needsStore := strings.Fields("stock forecast check"); slices.Contains(needsStore, args[0]) {
			args = append(args, "--data", dir)
		}
		_, out, problems := croze(args...)
		if problems != "" {
			t.Errorf("croze %s: %s", c.command, problems)
		}
		for _, object := range objects(t, out) {
			for _, name := range strings.Fields(c.names) {
				if _, there := object[name]; !there {
					t.Errorf("croze %s: %s is missing in %v", c.command, name, object)
				}
			}
		}
	}
}

// objects reads one object, or a list of some.
func objects(t *testing.T, text string) []map[string]any {
	t.Helper()
	var one map[string]any
	if json.Unmarshal([]byte(text), &one) == nil {
		return []map[string]any{one}
	}
	var list []map[string]any
	if err := json.Unmarshal([]byte(text), &list); err != nil || len(list) == 0 {
		t.Fatalf("%v in %q", err, text)
	}
	return list
}

// TestPortionNames holds the parts of a reduction and of a plan to their names.
func TestPortionNames(t *testing.T) {
	_, out, _ := croze("reduce", "--volume", "30", "--from", "62", "--to", "46", "--json")
	var reduced struct{ Portions []map[string]float64 }
	if err := json.Unmarshal([]byte(out), &reduced); err != nil || len(reduced.Portions) != 1 {
		t.Fatalf("%v in %s", err, out)
	}
	for _, name := range []string{"spirit_l", "water_l", "water_kg", "volume_l"} {
		if reduced.Portions[0][name] <= 0 {
			t.Errorf("a portion has no %s: %v", name, reduced.Portions[0])
		}
	}
	_, out, _ = croze("plan", "--json", filepath.Join(imports, "plan-own.json"))
	var plan struct {
		Status string
		Draws  []map[string]any
		Result map[string]any
	}
	if err := json.Unmarshal([]byte(out), &plan); err != nil || plan.Status != "optimal" || len(plan.Draws) != 2 {
		t.Fatalf("%v in %s", err, out)
	}
	for _, name := range []string{"id", "volume_l", "mass_kg"} {
		if _, there := plan.Draws[0][name]; !there {
			t.Errorf("a draw has no %s: %v", name, plan.Draws[0])
		}
	}
	for _, name := range []string{"volume_l", "strength_pct", "youngest_days", "shares"} {
		if _, there := plan.Result[name]; !there {
			t.Errorf("a result has no %s: %v", name, plan.Result)
		}
	}
}

// TestClosedOutput: results that cannot be written are a problem, not silence.
func TestClosedOutput(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer full.Close()
	dir := exampleStore(t)
	for _, args := range [][]string{
		{"stock", "--data", dir}, {"stock", "--json", "--data", dir}, {"stock", "--csv", "--data", dir},
		{"forecast", "--at", "2026-01-01", "--data", dir}, {"export", "--data", dir},
		{"strength", "--reading", "60", "--temp", "15"}, {"reduce", "--volume", "30", "--from", "62", "--to", "46"},
		{"check", "--data", dir}, {"version"}, {"plan", filepath.Join(imports, "plan-own.json")},
	} {
		var problems strings.Builder
		if code := run(args, world{in: strings.NewReader(""), out: full, err: &problems, now: june}); code != exitBad || problems.Len() == 0 {
			t.Errorf("croze %s: exit code %d and %q", strings.Join(args, " "), code, problems.String())
		}
	}
}
