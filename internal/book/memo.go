package book

import (
	"sync"

	"example.org/croze/internal/cellar"
)

// memo keeps what was worked out for a view, by vessel and name, so that a
// page costs its work once. What concerns a vessel is forgotten when an entry
// about it comes, what concerns the whole stock (vessel "") at any entry, and
// everything when the day or the model changes. A view from before such a
// change neither finds nor leaves anything that the change concerns.
type memo struct {
	mu      sync.Mutex
	on      cellar.Day
	values  map[string]map[string]any
	changed map[string]uint64 // by vessel, the turn of its last change; 0: none
	anew    uint64            // the turn of the last change of everything
	table   *table            // of the whole stock
	stale   map[string]bool   // vessels that changed since the table was last mended
}

// forDay makes the memo one of a day.
func (m *memo) forDay(on cellar.Day) *memo {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.on != on {
		m.on, m.values = on, nil
	}
	return m
}

// forget drops what concerns vessels, and the whole stock, at the moment at
// which a turn is shown.
func (m *memo) forget(turn uint64, codes []string, show func()) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.changed == nil {
		m.changed = make(map[string]uint64)
	}
	if m.stale == nil {
		m.stale = make(map[string]bool)
	}
	delete(m.values, "")
	m.changed[""] = turn
	for _, code := range codes {
		delete(m.values, code)
		m.changed[code], m.stale[code] = turn, true
	}
	show()
}

// forgetTable has the table made from the beginning.
func (m *memo) forgetTable() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.table = nil
}

// unreadRows says whether the table has rows that do not rest on the estimator.
func (m *memo) unreadRows() bool {
	m.mu.Lock()
	t := m.table
	m.mu.Unlock()
	return t != nil && t.unread.Load() > 0
}

// forgetAll drops everything at the moment at which a turn is shown.
func (m *memo) forgetAll(turn uint64, show func()) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.values, m.changed, m.anew = nil, nil, turn
	show()
}

// knows says whether what is kept about a vessel holds for a view. The caller
// holds the lock.
func (m *memo) knows(v *View, code string) bool {
	return m.on == v.On && v.turn >= max(m.changed[code], m.anew)
}

func (m *memo) get(v *View, code, name string) (any, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if !m.knows(v, code) {
		return nil, false
	}
	value, ok := m.values[code][name]
	return value, ok
}

func (m *memo) put(v *View, code, name string, value any) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if !m.knows(v, code) {
		return
	}
	if m.values == nil {
		m.values = make(map[string]map[string]any)
	}
	if m.values[code] == nil {
		m.values[code] = make(map[string]any)
	}
	m.values[code][name] = value
}

// remember returns what a view worked out before under a name, or works it
// out. The values are shared: nobody may change them.
func remember[T any](v *View, code, name string, work func() T) T {
	if known, ok := v.memo.get(v, code, name); ok {
		return known.(T)
	}
	value := work()
	v.memo.put(v, code, name, value)
	return value
}
