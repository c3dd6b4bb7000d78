package server

import (
	"net/url"

	"example.org/croze/internal/book"
)

// firstStep is one thing to do on the way from an empty book to a filled vessel.
type firstStep struct {
	Done           bool
	Title, Why     string
	Address, Doing string
}

// firstSteps leads through a new book; nil once something has been filled.
func firstSteps(v *book.View) []firstStep {
	vessel := ""
	for _, code := range v.State.VesselCodes() {
		if len(v.State.Vessels[code].Events) > 0 {
			return nil
		}
		vessel = code
	}
	steps := []firstStep{
		{len(v.State.Places) > 0, "Name the places", "A cellar, a loft. Their temperature and humidity help to foresee losses.", "/places", "Register a place"},
		{vessel != "", "Register the vessels", "Casks, jars and tanks. Each gets a short code that is easy to say.", "/vessels/new", "Register a vessel"},
		{len(v.State.Batches) > 0, "Register what you made", "A batch is one run of the still: its strength, its grain or fruit.", "/spirits/new", "Register a batch"},
	}
	fill := firstStep{Title: "Fill the first vessel", Why: "From a batch, with the strength and the volume that went in."}
	if vessel != "" {
		fill.Address, fill.Doing = "/v/"+url.PathEscape(vessel)+"/log/fill", "Fill "+vessel
	}
	return append(steps, fill)
}
