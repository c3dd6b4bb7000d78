package demo

import "example.org/croze/internal/cellar"

// Days before today on which the owner does what is done at the desk.
const (
	recalibratedDay = 300
	labelLostDay    = 236
	rinseDay        = 396 // four days after it was emptied
	trialDay        = 1380
	warmDay         = 74
	aimsDay         = 35
	worthDay        = 33
	circleDay       = 9
)

// stem is the alcoholometer that most raw readings are taken with.
const stem = "alcoholometer 40 to 70"

// What the stem shows too little, % vol: it was sent away twice, and had drifted.
const (
	stemAtFirst = 0.1
	stemSince   = 0.2
)

// stemShort is what the stem shows too little on the day being told.
func (t *telling) stemShort() float64 {
	if t.ago <= recalibratedDay {
		return stemSince
	}
	return stemAtFirst
}

// certify registers a certificate of the stem.
func (t *telling) certify(note string) {
	t.state(&cellar.InstrumentFact{Instrument: cellar.Instrument{
		Name: stem, Kind: cellar.HydrometerKind, Scale: "vol", BaseC: 20,
		From: cellar.DayOf(t.date()), Add: t.stemShort(), SD: 0.1, Note: note,
	}}, keeper)
}

// rhythms are the days that may pass between two looks.
var rhythms = []cellar.Rhythm{
	{Of: cellar.Cask, Days: 90}, {Of: cellar.Hybrid, Days: 120}, {Of: cellar.Jar, Days: 120}, {Of: cellar.Tank, Days: 120},
}

// ripe is what the owner wants of a vessel before calling it ready.
type ripe struct {
	key   string
	asked cellar.Ready
	words string
}

// Days in some years, to ask for them.
const (
	threeYears = 1096
	fourYears  = 1461
	fiveYears  = 1827
	tenYears   = 3653
)

var wanted = []ripe{
	{"c225b", cellar.Ready{AgeDays: fiveYears, FloorPct: 52, LatestDays: tenYears}, "Five summers for the rye; it carries the bottling of next month."},
	{"c110a", cellar.Ready{AgeDays: 2000, FloorPct: 50}, "Five and a half years, and not below 50 % vol: it stands in the damp."},
	{"c10a", cellar.Ready{AgeDays: threeYears, LatestDays: fourYears}, "New oak, ten litres: four years is the most it should have."},
	{"c60b", cellar.Ready{AgeDays: threeYears}, "The chestnut cask again when it is three."},
	{"c30a", cellar.Ready{AgeDays: fourYears, Scores: []cellar.ReadyBand{{Of: "wood", Min: 3, Max: 9}}}, "Wood clear, and not alone."},
	{"j20", cellar.Ready{AgeDays: threeYears, Contact: 120}, ""},
}

// comeBack are days to come back to a vessel, from today.
var comeBack = []struct {
	key   string
	in    int
	what  string
	words string
}{
	{"c50b", 10, cellar.AimLook, "Apple wood gives fast: taste it before the frost."},
	{"c225b", needInDays, cellar.AimBottle, ""},
}

func (t *telling) setAims() {
	for _, w := range wanted {
		t.state(&cellar.Aim{Vessel: t.vessel(w.key).Code, For: cellar.AimReady, Words: w.words, Ready: &w.asked}, owner)
	}
	for _, c := range comeBack {
		on := cellar.DayOf(t.today.AddDate(0, 0, c.in))
		t.tell(cellar.Request{Entry: "aim", Vessel: t.vessel(c.key).Code, On: on, For: c.what, Note: c.words}, owner)
	}
}

// setWorth says what a litre is worth as it lies, and what those set aside cost.
func (t *telling) setWorth() {
	for _, v := range []cellar.Value{
		{Of: cellar.Cask, PerL: 36}, {Of: cellar.Hybrid, PerL: 30}, {Of: cellar.Jar, PerL: 33}, {Of: cellar.Tank, PerL: 17},
		{Vessel: t.vessel("c225b").Code, PerL: 44}, {Vessel: t.vessel("c10a").Code, PerL: 25},
	} {
		t.state(&v, owner)
	}
	for i, key := range needFrom {
		t.state(&cellar.Cost{Vessel: t.vessel(key).Code, PerL: []float64{15.5, 14, 12.8}[i]}, owner)
	}
}

// setTrials sets the twins side by side.
func (t *telling) setTrials() {
	for i, keys := range twins {
		trial := &cellar.Trial{Name: []string{"Cask or staves", "Oak or chestnut"}[i], Question: "Filled on one day from one batch: what does the difference do?"}
		for _, key := range keys {
			trial.Vessels = append(trial.Vessels, t.vessel(key).Code)
		}
		t.state(trial, owner)
	}
}

// rinseOut writes down what warm water brought out of a cask that was emptied.
func (t *telling) rinseOut(key string) {
	t.tell(cellar.Request{
		Entry: "rinse", Vessel: t.vessel(key).Code, VolumeL: number(2.2), StrengthPct: number(5),
		Note: "Two litres of warm water stood in it for three days.",
	}, keeper)
}

// keepWarm tries what warmth and chips do to a spirit, on the bench.
func (t *telling) keepWarm(key string) {
	v := t.vessel(key)
	t.state(&cellar.WarmTrial{
		Name: "Acacia chips, three warm days", From: cellar.VesselAccount(v.Code), VolumeL: 0.5, StrengthPct: rounded(v.in.strength(), 0.1),
		Hours: 72, TempC: 42, Wood: "acacia", WoodAreaM2: 0.012, Colour: "amber",
		Scores: map[string]int{"fruit": 5, "spice": 3, "wood": 6}, Note: "Colour of two years, nose of two weeks.",
	}, owner)
}

// circle has three people score the vessels set aside, and the twins.
func (t *telling) circle() {
	for _, key := range []string{"c110a", "c55b", "c225b", "c20a", "j20"} {
		for i, taster := range []string{keeper, distiller, owner} {
			senses := t.senses(t.vessel(key))
			senses.Taster = taster
			if i > 0 {
				senses.Colour, senses.Nose, senses.Palate = "", "", ""
			}
			t.tell(cellar.Request{Entry: "sample", Vessel: t.vessel(key).Code, Senses: senses}, taster)
		}
	}
}

// state writes down what no request states.
func (t *telling) state(fact cellar.Fact, who string) {
	at := t.now()
	t.minute++
	t.write(Told{Request: cellar.Request{When: at}, Fact: fact, RecordedAt: at.Add(4 * minute), Who: who, VoidOf: -1})
}

// plotOwner adds the owner's days to the plot.
func plotOwner(at func(int, deed)) {
	at(firstDay, func(t *telling) { t.certify("Certificate of the year in which the house began.") })
	at(recalibratedDay, func(t *telling) { t.certify("Sent away again: it shows a tenth less than it did.") })
	at(labelLostDay, func(t *telling) {
		t.tell(cellar.Request{Entry: "relabel", Vessel: t.vessel("c100").Code, Note: "Soaked off when it was topped up in the wet."}, keeper)
	})
	at(rinseDay, func(t *telling) { t.rinseOut("c30d") })
	at(trialDay, (*telling).setTrials)
	at(warmDay, func(t *telling) { t.keepWarm("h25") })
	at(aimsDay, (*telling).setAims)
	at(worthDay, (*telling).setWorth)
	at(circleDay, (*telling).circle)
}
