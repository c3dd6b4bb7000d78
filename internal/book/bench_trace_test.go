package book_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// forwards follows all liquid in the direction in which it flowed: every
// account carries a list of the batches and fillings that are in it.
func forwards(v *book.View, lot cellar.Account) (batches, stays []string) {
	filling := make(map[string]int) // by vessel, how many fillings there were
	fills := make(map[string]bool)  // entry and vessel
	for code, vessel := range v.State.Vessels {
		for _, e := range vessel.Events {
			if e.Filled {
				fills[fmt.Sprint(e.Entry.Seq, code)] = true
			}
		}
	}
	in := make(map[cellar.Account]map[string]bool)
	begun := make(map[string]bool)
	for _, m := range v.State.Movements {
		if code, ok := m.To.Vessel(); ok && fills[fmt.Sprint(m.Seq, code)] && !begun[fmt.Sprint(m.Seq, code)] {
			begun[fmt.Sprint(m.Seq, code)] = true
			filling[code]++
			in[m.To] = map[string]bool{fmt.Sprintf("stay %s %d", code, filling[code]): true}
		}
		if _, name := m.To.Split(); name == "" {
			continue
		}
		if in[m.To] == nil {
			in[m.To] = make(map[string]bool)
		}
		maps.Copy(in[m.To], in[m.From])
		if name, ok := m.From.Batch(); ok {
			in[m.To]["batch "+name] = true
		}
	}
	for tag := range in[lot] {
		var class, name string
		fmt.Sscan(tag, &class)
		name = tag[len(class)+1:]
		if class == "batch" {
			batches = append(batches, name)
		} else {
			stays = append(stays, name)
		}
	}
	slices.Sort(batches)
	slices.Sort(stays)
	return batches, stays
}

// checkTrace holds the way back from a lot to the way forwards, and wants every
// sample that was taken on it.
func checkTrace(t *testing.T, v *book.View, name string) {
	t.Helper()
	lot := cellar.LotAccount(name)
	batches, stays := forwards(v, lot)
	trace := v.Trace(lot)
	if !slices.Equal(trace.Batches, batches) {
		t.Errorf("%s leads back to the batches %v, want %v", name, trace.Batches, batches)
	}
	var got []string
	for _, stay := range trace.Stays {
		nth, samples := 0, 0
		for _, e := range v.State.Vessels[stay.Vessel].Events {
			if e.Filled && !e.Entry.HappenedAt.After(stay.From) {
				nth++
			}
			during := !e.Entry.HappenedAt.Before(stay.From) && !e.Entry.HappenedAt.After(stay.To)
			if _, ok := e.Entry.Fact.(*cellar.Sample); ok && during {
				samples++
				if !slices.ContainsFunc(stay.Lines, func(l book.HistoryLine) bool { return l.ID == e.Entry.ID }) {
					t.Errorf("%s does not lead back to the sample of %s on %s", name, stay.Vessel, e.Entry.Day())
				}
			}
		}
		if samples != stay.Samples {
			t.Errorf("%s: %s has %d samples, %d were found", name, stay.Vessel, samples, stay.Samples)
		}
		got = append(got, fmt.Sprintf("%s %d", stay.Vessel, nth))
	}
	slices.Sort(got)
	if !slices.Equal(got, stays) {
		t.Errorf("%s leads back to the fillings %v, want %v", name, got, stays)
	}
	for _, p := range v.State.ContentsOn(lot, v.On).Parts {
		if !slices.Contains(trace.Batches, p.Batch) {
			t.Errorf("%s holds %s, and does not lead back to it", name, p.Batch)
		}
	}
}

func TestEveryLotOfTheDemoLeadsBack(t *testing.T) {
	h := demoToSee(t)
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		if len(v.Lots()) == 0 {
			t.Fatal("the demo has no lot")
		}
		for _, lot := range v.Lots() {
			checkTrace(t, v, lot.Name)
		}
		return nil
	}))
}

// An earlier filling of a vessel on the way is no part of it, and neither is
// what was done there after the liquid had left.
func TestAnEarlierFillingIsNoPartOfALot(t *testing.T) {
	h := newHouse(t)
	h.vessel("A", cellar.Cask, 50)
	h.vessel("B", cellar.Jar, 50)
	h.vessel("VAT", cellar.Tank, 100)
	h.batch("OLD", "2020-01-01", 60, 63)
	h.batch("NEW", "2020-01-01", 60, 63)
	h.batch("OTHER", "2020-01-01", 60, 63)
	h.clock.on("2022-01-01")
	pour := func(date, entry, vessel, from string, litres float64) {
		h.does(date, cellar.Request{Entry: entry, Vessel: vessel, From: from, VolumeL: &litres, StrengthPct: ptr(62.0)})
	}
	pour("2020-01-02", "fill", "A", "OLD", 40)
	h.does("2020-02-01", cellar.Request{Entry: "sample", Vessel: "A", StrengthPct: ptr(62.5)})
	h.does("2020-06-01", cellar.Request{Entry: "empty", Vessel: "A"})
	pour("2020-07-01", "fill", "A", "NEW", 40)
	pour("2020-07-02", "fill", "B", "OTHER", 20)
	h.does("2021-01-01", cellar.Request{Entry: "sample", Vessel: "A", StrengthPct: ptr(62.0)})
	pour("2021-06-01", "fill", "VAT", "A", 20)
	h.does("2021-07-01", cellar.Request{Entry: "sample", Vessel: "A", StrengthPct: ptr(61.8)})
	pour("2021-07-02", "top_up", "A", "B", 5)
	h.does("2021-08-01", cellar.Request{Entry: "bottle", Vessel: "VAT", Lot: "L1", Bottles: []cellar.Bottles{{SizeL: 0.5, Count: 20}}, StrengthPct: ptr(61.5)})
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		checkTrace(t, v, "L1")
		trace := v.Trace(cellar.LotAccount("L1"))
		if !slices.Equal(trace.Batches, []string{"NEW"}) || len(trace.Stays) != 2 || trace.Stays[0].Vessel != "VAT" || trace.Stays[1].Vessel != "A" || trace.Stays[1].Samples != 1 {
			t.Errorf("L1 came from %+v", trace)
		}
		return nil
	}))
}
