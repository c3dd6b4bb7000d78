package exchange_test

import (
	"bytes"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
)

type (
	vessel  = cellar.Vessel
	place   = cellar.Place
	batch   = cellar.Batch
	request = cellar.Request
)

func vesselWriter(b *bytes.Buffer, v []vessel) error { return exchange.WriteVessels(b, v) }
func placeWriter(b *bytes.Buffer, v []place) error   { return exchange.WritePlaces(b, v) }
func batchWriter(b *bytes.Buffer, v []batch) error   { return exchange.WriteBatches(b, v) }
func entryWriter(b *bytes.Buffer, v []request) error { return exchange.WriteEntries(b, v) }
