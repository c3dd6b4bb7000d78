package exchange

import (
	"encoding/csv"
	"io"
	"strconv"

	"example.org/croze/internal/cellar"
)

// The four writers are the inverses of what Read does: reading what they write
// gives the same values.

// WriteVessels writes vessels.csv.
func WriteVessels(w io.Writer, vessels []cellar.Vessel) error {
	return writeRows(w, vesselColumns, vessels, func(v cellar.Vessel) []string {
		return []string{
			defused(v.Code), defused(string(v.Kind)), exact(float64(v.CapacityL)), defused(v.Wood), defused(string(v.WoodState)),
			exactOrBlank(v.WoodAreaM2), defused(v.Place), exactOrBlank(float64(v.TareKg)), defused(v.MakerCode), defused(v.Note),
			defused(v.Row), defused(v.Tier),
		}
	})
}

// WritePlaces writes places.csv.
func WritePlaces(w io.Writer, places []cellar.Place) error {
	return writeRows(w, placeColumns, places, func(p cellar.Place) []string {
		return []string{defused(p.Name), given(p.TempC), given(p.HumidityPct)}
	})
}

// WriteBatches writes batches.csv.
func WriteBatches(w io.Writer, batches []cellar.Batch) error {
	return writeRows(w, batchColumns, batches, func(b cellar.Batch) []string {
		made := ""
		if b.MadeOn != 0 {
			made = b.MadeOn.String()
		}
		return []string{
			defused(b.Name), made, exactOrBlank(float64(b.VolumeL)), exactOrBlank(float64(b.StrengthPct)),
			defused(writeShares(b.Grains)), defused(b.Yeast), defused(b.Note),
		}
	})
}

// WriteEntries writes entries.csv. A request says more than a row can; see
// Requests for those that are made to be written.
func WriteEntries(w io.Writer, entries []cellar.Request) error {
	return writeRows(w, entryColumns, entries, func(q cellar.Request) []string {
		return []string{
			writeWhen(q.When), q.Entry, defused(q.Vessel), defused(q.From), given(q.VolumeL), given(q.TempC),
			given(q.StrengthPct), given(q.ReadingPct), given(q.GrossKg), given(q.DrawnL), defused(q.Note),
		}
	})
}

func writeRows[T any](w io.Writer, columns []column, values []T, cells func(T) []string) error {
	out := csv.NewWriter(w)
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	if err := out.Write(names); err != nil {
		return err
	}
	for _, v := range values {
		if err := out.Write(cells(v)); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// exact writes a number so that reading it gives the same one. One that is too
// small to measure would take more digits than a reader takes; it is cut.
func exact(x float64) string {
	const longest, enough = 25, 12
	text := strconv.FormatFloat(x, 'f', -1, 64)
	if len(text) > longest {
		return strconv.FormatFloat(x, 'f', enough, 64)
	}
	return text
}

// exactOrBlank is for columns where 0 stands for nothing.
func exactOrBlank(x float64) string {
	if x == 0 {
		return ""
	}
	return exact(x)
}

func given(x *float64) string {
	if x == nil {
		return ""
	}
	return exact(*x)
}
