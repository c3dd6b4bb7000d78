package book

import (
	"sync"

	"example.org/croze/internal/cellar"
)

// memo keeps what was worked out for a view, by vessel and name, so that a
// page costs its work once. What concerns a vessel is forgotten when an entry
// about it comes, what concerns the whole stock (vessel "") at any entry, and
// everything when the day or the model changes.
type memo struct {
	mu     sync.Mutex
	on     cellar.Day
	values map[string]map[string]any
	table  *Table // of the whole stock; it mends itself, see Table
}

// forDay makes the memo one of a day.
func (m *memo) forDay(on cellar.Day) *memo {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.on != on {
		m.on, m.values, m.table = on, nil, nil
	}
	if m.values == nil {
		m.values = make(map[string]map[string]any)
	}
	return m
}

// forget drops what concerns vessels, and the whole stock.
func (m *memo) forget(codes []string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	delete(m.values, "")
	m.table.forget(codes)
	for _, code := range codes {
		delete(m.values, code)
	}
}

func (m *memo) forgetAll() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.values = nil
	m.table.unfit()
}

func (m *memo) get(code, name string) (any, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	value, ok := m.values[code][name]
	return value, ok
}

func (m *memo) put(code, name string, value any) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.values == nil {
		return
	}
	if m.values[code] == nil {
		m.values[code] = make(map[string]any)
	}
	m.values[code][name] = value
}

// remember returns what a view worked out before under a name, or works it
// out. The values are shared: nobody may change them.
func remember[T any](v *View, code, name string, work func() T) T {
	if known, ok := v.memo.get(code, name); ok {
		return known.(T)
	}
	value := work()
	v.memo.put(code, name, value)
	return value
}
