package cellar

import (
	"math"
	"testing"

	"example.org/croze/internal/gauge"
	"example.org/croze/internal/spirit"
)

// cask50 is a lying cask whose spheroid holds close to 50 L.
func cask50() *Inside {
	return &Inside{Shape: &gauge.Shape{Profile: gauge.Spheroid, Bung: 40, Head: 34, Length: 44}, Position: gauge.Lying}
}

// gaugedStory has a measured cask and a measured jar, both filled.
func gaugedStory(t *testing.T) *story {
	s := newStory(t)
	s.record(&VesselFact{Vessel{Code: "C", Kind: Cask, CapacityL: 50, TareKg: 12, Inside: cask50()}})
	jar := &gauge.Jar{Body: 20, BodyHeight: 30, ShoulderHeight: 5, Neck: 10, NeckHeight: 4}
	s.record(&VesselFact{Vessel{Code: "J", Kind: Jar, CapacityL: 10, Inside: &Inside{Jar: jar}}})
	s.batch("rye 1", 100, 62)
	s.on("2020-02-01").does(Request{Entry: "fill", Vessel: "C", From: "rye 1", VolumeL: ptr(48.0)})
	s.does(Request{Entry: "fill", Vessel: "J", From: "rye 1", VolumeL: ptr(9.0)})
	return s
}

func contentOfSample(t *testing.T, s *story, r Request) *Content {
	t.Helper()
	r.Entry = "sample"
	fact, _, err := s.resolve(r)
	if err != nil {
		t.Fatal(err)
	}
	return fact.(*Sample).Content
}

// Every way of gauging gives what package gauge gives for the same reading.
func TestEveryWayOfGauging(t *testing.T) {
	s := gaugedStory(t)
	liquid := gauge.Of(62, 20)
	capacity := gauge.Capacity{Volume: 50, SD: 0.5}
	dip, err := gauge.Dip{Shape: *cask50().Shape, Position: gauge.Lying, Capacity: capacity, Wet: 30, WetSD: gauge.UsualDipSD}.Content(liquid)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		request Request
		method  string
		want    spirit.Litres
	}{
		{Request{Vessel: "C", StrengthPct: ptr(62.0), DipCm: ptr(30.0)}, "dip", dip.Volume},
		{Request{Vessel: "C", StrengthPct: ptr(62.0), UllageCm: ptr(10.0)}, "ullage", dip.Volume}, // 10 cm dry is 30 cm wet
		{Request{Vessel: "C", StrengthPct: ptr(62.0), MeterL: ptr(40.0)}, "meter", 40},
		{Request{Vessel: "C", StrengthPct: ptr(62.0), JugL: ptr(5.0), JugTimes: ptr(8.0), JugLastL: ptr(0.5)}, "jug", 40.5},
		{Request{Vessel: "C", StrengthPct: ptr(62.0), VolumeL: ptr(41.0)}, "volume", 41},
		{Request{Vessel: "J", StrengthPct: ptr(62.0), LevelCm: ptr(20.0)}, "level", spirit.Litres(math.Pi / 4 * 20 * 20 * 20 / 1000)},
	} {
		got := contentOfSample(t, s, c.request)
		if got.Method != c.method || math.Abs(float64(got.VolumeL-c.want)) > 1e-6 {
			t.Errorf("%s: %.6f L by %s, want %.6f", c.method, float64(got.VolumeL), got.Method, float64(c.want))
		}
	}
}

func TestGaugingRefuses(t *testing.T) {
	s := gaugedStory(t)
	s.vessel("B", Cask, 50)
	s.does(Request{Entry: "fill", Vessel: "B", From: "rye 1", VolumeL: ptr(30.0)})
	for _, c := range []struct {
		request Request
		field   string
	}{
		{Request{Vessel: "C", DipCm: ptr(30.0), GrossKg: ptr(50.0)}, "dip_cm"},
		{Request{Vessel: "C", DipCm: ptr(41.0)}, "dip_cm"},
		{Request{Vessel: "C", DipCm: ptr(math.NaN())}, "dip_cm"},
		{Request{Vessel: "B", DipCm: ptr(30.0)}, "dip_cm"},
		{Request{Vessel: "B", LevelCm: ptr(30.0)}, "level_cm"},
		{Request{Vessel: "C", JugL: ptr(5.0), JugTimes: ptr(1.5)}, "jug_times"},
		{Request{Vessel: "C", JugL: ptr(5.0), JugTimes: ptr(20.0)}, "volume_l"}, // 100 L in a 50 L cask
	} {
		c.request.Entry = "sample"
		_, _, err := s.resolve(c.request)
		p, ok := err.(*Problem)
		if !ok || p.Field != c.field {
			t.Errorf("%+v: %v, want a problem with %s", c.request, err, c.field)
		}
	}
}

// A recalibration applies to samples from its own day on, and the raw reading stays.
func TestCertificates(t *testing.T) {
	s := newStory(t)
	s.vessel("C", Cask, 50)
	s.batch("rye 1", 100, 62)
	s.on("2020-02-01").does(Request{Entry: "fill", Vessel: "C", From: "rye 1", VolumeL: ptr(48.0)})
	first := Instrument{Name: "H1", Kind: HydrometerKind, Scale: "vol", BaseC: 20, From: mustDay(t, "2019-01-01"), Add: 0.2, SD: 0.05}
	second := first
	second.From, second.Add = mustDay(t, "2021-01-01"), -0.3
	s.record(&InstrumentFact{second})
	s.record(&InstrumentFact{first})
	for _, c := range []struct {
		on   string
		want float64
	}{{"2020-12-31", 60.2}, {"2021-01-01", 59.7}, {"2022-05-01", 59.7}} {
		fact, _, err := s.on(c.on).resolve(Request{Entry: "sample", Vessel: "C", ReadingPct: ptr(60.0), TempC: ptr(20.0), Instrument: "H1"})
		if err != nil {
			t.Fatal(err)
		}
		r := fact.(*Sample).Reading
		if math.Abs(float64(r.StrengthPct)-c.want) > 0.005 || r.Value != 60 || !r.Certified {
			t.Errorf("on %s: %+v, want %.1f %% vol from a raw 60", c.on, r, c.want)
		}
	}
	thermometer := Instrument{Name: "T1", Kind: ThermometerKind, From: mustDay(t, "2019-01-01"), Add: 0.5, SD: 0.1}
	s.record(&InstrumentFact{thermometer})
	fact, _, err := s.resolve(Request{Entry: "sample", Vessel: "C", ReadingPct: ptr(60.0), TempC: ptr(19.5), Thermometer: "T1"})
	if err != nil || math.Abs(float64(fact.(*Sample).Reading.StrengthPct)-60) > 0.005 {
		t.Errorf("19.5 °C on a thermometer that shows 0.5 too little is 20: %v %v", fact, err)
	}
	if _, _, err := s.resolve(Request{Entry: "sample", Vessel: "C", ReadingPct: ptr(60.0), TempC: ptr(19.5), Instrument: "T1"}); err == nil {
		t.Error("a thermometer was taken as a hydrometer")
	}
}
