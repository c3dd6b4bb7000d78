package server

import (
	"net/url"
	"slices"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// firstStep is one thing to do on the way from an empty book to a filled vessel.
type firstStep struct {
	Done           bool
	Title, Why     string
	Address, Doing string
}

// firstSteps leads through a new book, up to the first sample; nil from then
// on, and where more than one vessel was filled already.
func firstSteps(v *book.View) []firstStep {
	vessel, filled := "", ""
	for _, code := range v.State.VesselCodes() {
		events := v.State.Vessels[code].Events
		if sampled(events) || len(events) > 0 && filled != "" {
			return nil
		}
		vessel = code
		if len(events) > 0 {
			filled = code
		}
	}
	steps := []firstStep{
		{len(v.State.Places) > 0, "Name the places", "A cellar, a loft. Their temperature and humidity help to foresee losses.", "/places", "Register a place"},
		{vessel != "", "Register the vessels", "Casks, jars and tanks. Each gets a short code that is easy to say.", "/vessels/new", "Register a vessel"},
		{len(v.State.Batches) > 0, "Register what you made", "A batch is one run of the still: its strength, its grain or fruit.", "/spirits/new", "Register a batch"},
		{filled != "", "Fill the first vessel", "From a batch, with the strength and the volume that went in.", "", ""},
	}
	if filled == "" {
		if vessel != "" {
			steps[3].Address, steps[3].Doing = "/v/"+url.PathEscape(vessel)+"/log/fill", "Fill "+vessel
		}
		return steps
	}
	return append(
		steps,
		firstStep{Title: "Print its label", Why: "A phone's camera then opens the vessel's page.", Address: "/labels?code=" + url.QueryEscape(filled), Doing: "Label " + filled},
		firstStep{Title: "Log the first sample", Why: "Strength and temperature are enough; each one makes the estimates better.", Address: "/v/" + url.PathEscape(filled) + "/log/sample", Doing: "Sample " + filled},
	)
}

// sampled says whether anything was read or tasted since the vessel was registered.
func sampled(events []cellar.Event) bool {
	return slices.ContainsFunc(events, func(e cellar.Event) bool { return e.Entry.Fact.Kind() == "sample" })
}
