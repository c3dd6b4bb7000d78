package server_test

import (
	"net/http"
	"testing"
)

func TestReadyPages(t *testing.T) {
	h := smallHouse(t)
	if a := h.get("/review/ready"); !a.says("Nothing is asked of any vessel yet") {
		t.Error("the empty page does not say so")
	}
	where := "/v/" + rye + "/ready"
	if a := h.post(where, []string{"age_years", "1", "latest_years", "5", "floor_pct", "50", "scores", "fruit 3-6", "words", "for the fair"}); a.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", a.status, a.body)
	}
	a := h.get(where)
	for _, want := range []string{"not yet", "nobody has scored its fruit", `value="fruit 3-6"`, "for the fair", "If it is left another year"} {
		if !a.says(want) {
			t.Errorf("the vessel's page does not say %q", want)
		}
	}
	if a := h.get("/review/ready"); !a.says(rye) || !a.says("not yet") {
		t.Error("the list does not have it")
	}
	for want, fields := range map[string][]string{
		"age_years":       {"age_years", "long"},
		"0 to 100 years":  {"age_years", "400"},
		"floor_pct":       {"floor_pct", "140"},
		"such as fruit":   {"scores", "lovely"},
		"between 0 and 1": {"scores", "fruit 8-3"},
		"past its best":   {"age_years", "5", "latest_years", "2"},
	} {
		a := h.unchanged(want, func() answer { return h.post(where, fields) })
		if a.status != http.StatusUnprocessableEntity || !a.says(want) {
			t.Errorf("%v: status %d, and it does not say %q", fields, a.status, want)
		}
	}
	if a := h.post("/v/"+spare+"/ready", []string{"age_years", "3"}); a.status != http.StatusUnprocessableEntity || !a.says("it is empty") {
		t.Errorf("an aim for an empty vessel: status %d", a.status)
	}
	if a := h.post("/v/NONE/ready", []string{"age_years", "3"}); a.status != http.StatusNotFound {
		t.Errorf("an aim for nothing: status %d", a.status)
	}
	h.post(where, []string{"none", "1"})
	if a := h.get("/review/ready"); !a.says("Nothing is asked of any vessel yet") {
		t.Error("the aim was not taken back")
	}
}
