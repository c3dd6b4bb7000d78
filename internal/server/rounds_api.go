package server

import (
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
)

// sheetLine is a vessel of a round as a phone keeps it for when there is no signal.
type sheetLine struct {
	Vessel      string  `json:"vessel"`
	Place       string  `json:"place,omitempty"`
	Kind        string  `json:"kind"`
	Reason      string  `json:"reason,omitempty"`
	Status      string  `json:"status"`
	CapacityL   float64 `json:"capacity_l"`
	VolumeL     float64 `json:"volume_l"`
	VolumeSDL   float64 `json:"volume_sd_l"`
	StrengthPct float64 `json:"strength_pct"`
	StrengthSD  float64 `json:"strength_sd"`
	SampledOn   string  `json:"sampled_on,omitempty"`
}

type roundSheet struct {
	Round string      `json:"round,omitempty"`
	Name  string      `json:"name,omitempty"`
	Stops []sheetLine `json:"stops"`
}

func sheetOf(line book.StockLine) sheetLine {
	return sheetLine{
		Vessel: line.Vessel, Place: line.Place, Kind: line.Kind, Status: string(book.StopOpen), CapacityL: line.CapacityL,
		VolumeL: line.VolumeL, VolumeSDL: line.VolumeSDL, StrengthPct: line.StrengthPct, StrengthSD: line.StrengthSD,
		SampledOn: line.SampledOn,
	}
}

// apiRound is a round for a phone to carry.
func (s *Server) apiRound(c *fiber.Ctx) error {
	line, err := s.roundOf(c)
	if err != nil {
		return err
	}
	sheet := roundSheet{Round: line.ID, Name: line.Name, Stops: []sheetLine{}}
	for _, stop := range line.Stops {
		row := sheetOf(stop.Stock)
		row.Reason, row.Status = stop.Reason, string(stop.Status)
		sheet.Stops = append(sheet.Stops, row)
	}
	return c.JSON(sheet)
}

// apiVessels is every vessel, as a phone keeps them.
func (s *Server) apiVessels(c *fiber.Ctx) error {
	sheet := roundSheet{Stops: []sheetLine{}}
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		for _, line := range v.Stock() {
			row := sheetOf(line)
			if line.Empty() {
				row.Status = string(book.StopEmptied)
			}
			sheet.Stops = append(sheet.Stops, row)
		}
		return nil
	})
	if err != nil {
		return err
	}
	return c.JSON(sheet)
}
