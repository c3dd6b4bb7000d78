package book

import (
	"slices"
	"strings"

	"example.org/croze/internal/cellar"
)

// JournalLine is one entry of the journal as the Book page shows it.
type JournalLine struct {
	HistoryLine
	About    []cellar.Account
	VoidedBy uint64 // number of the entry that took it back; 0: it stands
}

// JournalPage is some entries of the journal, newest first, and how many there are.
type JournalPage struct {
	Lines []JournalLine
	Total int
}

// Journal lists entries in the order in which they were recorded, newest
// first, `from` of them left out; `about` narrows it to what names a vessel,
// batch, place or kind.
func (v *View) Journal(about string, from, count int) JournalPage {
	voided := v.voided()
	var page JournalPage
	for _, e := range slices.Backward(v.Entries) {
		if about != "" && !concerns(e, about) {
			continue
		}
		if page.Total >= from && len(page.Lines) < count {
			line := JournalLine{HistoryLine: historyLine(e, ""), About: e.Fact.Subjects(), VoidedBy: voided[e.ID]}
			page.Lines = append(page.Lines, line)
		}
		page.Total++
	}
	return page
}

// voided is voidedBy of the view's entries.
func (v *View) voided() map[string]uint64 {
	return remember(v, "", "voided", func() map[string]uint64 { return voidedBy(v.Entries) })
}

// voidedBy maps the IDs of entries that no longer stand to the number of the
// entry that took each back.
func voidedBy(entries []cellar.Entry) map[string]uint64 {
	voided := make(map[string]uint64)
	for _, e := range slices.Backward(entries) {
		if void, ok := e.Fact.(*cellar.Void); ok && voided[e.ID] == 0 && voided[void.Entry] == 0 {
			voided[void.Entry] = e.Seq
		}
	}
	return voided
}

func concerns(e cellar.Entry, about string) bool {
	if strings.EqualFold(e.Fact.Kind(), about) {
		return true
	}
	for _, a := range e.Fact.Subjects() {
		if _, name := a.Split(); strings.EqualFold(name, about) {
			return true
		}
	}
	return false
}

// EntryByID finds an entry of the view.
func (v *View) EntryByID(id string) (cellar.Entry, bool) {
	i := slices.IndexFunc(v.Entries, func(e cellar.Entry) bool { return e.ID == id })
	if i < 0 {
		return cellar.Entry{}, false
	}
	return v.Entries[i], true
}
