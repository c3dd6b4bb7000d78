package identity

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"sync"

	"example.org/croze/internal/spirit"
)

// Caution is a short warning with its source.
type Caution struct {
	Topic        string `json:"topic"` // "fire", "air", "vessel", "head space", "heads" or "law"
	Text         string `json:"text"`
	Jurisdiction string `json:"jurisdiction,omitempty"` // empty: everywhere
	Citation
}

//go:embed cautions.json
var cautionsFile []byte

var loadedCautions = sync.OnceValue(func() []Caution {
	var cautions []Caution
	if err := json.Unmarshal(cautionsFile, &cautions); err != nil {
		panic("identity: cautions.json: " + err.Error())
	}
	return cautions
})

// Cautions returns what is to be said wherever spirit of a strength (% vol) is
// spoken of: the general cautions, those of a jurisdiction (which may be empty),
// and the flash point and growth of the strength at hand.
func Cautions(q spirit.Strength, jurisdiction string) []Caution {
	var cautions []Caution
	for _, caution := range loadedCautions() {
		if caution.Jurisdiction != "" && !strings.EqualFold(caution.Jurisdiction, strings.TrimSpace(jurisdiction)) {
			continue
		}
		switch caution.Topic {
		case "fire":
			caution.Text = flashText(q) + caution.Text
		case "head space":
			caution.Text += growthText(q)
		}
		cautions = append(cautions, caution)
	}
	return cautions
}

func flashText(q spirit.Strength) string {
	at, ok := spirit.FlashPoint(q)
	if !ok {
		return ""
	}
	return fmt.Sprintf("Spirit of %s %% vol gives off vapour that lights from about %.0f °C. ", short(float64(q)), math.Floor(float64(at)))
}

// The span over which growth is told: a cold store and the sun on a jar.
const coldest, warmest spirit.Celsius = 10, 40

func growthText(q spirit.Strength) string {
	growth, err := spirit.Expansion(q, coldest, warmest)
	if err != nil {
		return ""
	}
	return fmt.Sprintf(" At %s %% vol it grows by %.1f %% from %.0f to %.0f °C.", short(float64(q)), 100*(growth-1), float64(coldest), float64(warmest))
}
