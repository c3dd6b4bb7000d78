package server

import (
	"strconv"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/gauge"
)

// profiles are the curves that staves may follow, as the form offers them.
var profiles = []gauge.Profile{gauge.Spheroid, gauge.Spindle, gauge.Paraboloids, gauge.Cones, gauge.Cylinder}

// insideFields is a vessel's inside as the form shows it: text, blank where
// nothing was measured.
type insideFields struct {
	Profile, Position                               string
	Bung, Head, Length                              string
	Body, BodyHeight, Shoulder, Neck, NeckHeight    string
	Staves, StaveLength, StaveWidth, StaveThickness string
}

// Given says whether anything of it was measured.
func (f insideFields) Given() bool { return f.Profile != "" || f.Body != "" || f.Staves != "" }

// shownInside turns an inside back into text.
func shownInside(in *cellar.Inside) (f insideFields) {
	if in == nil {
		return f
	}
	f.Position = string(in.Position)
	if s := in.Shape; s != nil {
		f.Profile, f.Bung, f.Head, f.Length = string(s.Profile), plain(s.Bung), plain(s.Head), plain(s.Length)
	}
	if j := in.Jar; j != nil {
		f.Body, f.BodyHeight, f.Shoulder = plain(j.Body), plain(j.BodyHeight), plain(j.ShoulderHeight)
		f.Neck, f.NeckHeight = plain(j.Neck), plain(j.NeckHeight)
	}
	if s := in.Staves; s != nil {
		f.Staves = strconv.Itoa(s.Count)
		f.StaveLength, f.StaveWidth, f.StaveThickness = plain(s.Length), plain(s.Width), plain(s.Thickness)
	}
	return f
}

func plain(cm gauge.Centimetres) string { return strconv.FormatFloat(float64(cm), 'f', -1, 64) }

// inside reads the inside of a vessel; nil if nothing was measured.
func (f *form) inside() *cellar.Inside {
	in := &cellar.Inside{}
	cm := func(field string) gauge.Centimetres { return gauge.Centimetres(f.amount(field)) }
	if profile := f.text("profile"); profile != "" {
		in.Shape = &gauge.Shape{Profile: gauge.Profile(profile), Bung: cm("bung_cm"), Head: cm("head_cm"), Length: cm("length_cm")}
		in.Position = gauge.Position(f.text("position"))
	}
	if f.text("body_cm") != "" {
		in.Jar = &gauge.Jar{
			Body: cm("body_cm"), BodyHeight: cm("body_height_cm"), ShoulderHeight: cm("shoulder_height_cm"),
			Neck: cm("neck_cm"), NeckHeight: cm("neck_height_cm"),
		}
	}
	if n := f.count("staves"); n > 0 {
		in.Staves = &gauge.Staves{Count: n, Length: cm("stave_length_cm"), Width: cm("stave_width_cm"), Thickness: cm("stave_thickness_cm")}
	}
	if in.Shape == nil && in.Jar == nil && in.Staves == nil {
		return nil
	}
	return in
}

// typedInside is an inside as it was typed, to show again.
func typedInside(typed map[string]string) insideFields {
	return insideFields{
		Profile: typed["profile"], Position: typed["position"],
		Bung: typed["bung_cm"], Head: typed["head_cm"], Length: typed["length_cm"],
		Body: typed["body_cm"], BodyHeight: typed["body_height_cm"], Shoulder: typed["shoulder_height_cm"],
		Neck: typed["neck_cm"], NeckHeight: typed["neck_height_cm"],
		Staves: typed["staves"], StaveLength: typed["stave_length_cm"],
		StaveWidth: typed["stave_width_cm"], StaveThickness: typed["stave_thickness_cm"],
	}
}
