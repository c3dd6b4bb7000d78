package journal

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"iter"
	"sync"
)

// Memory is a journal that is gone when the program ends. Its backup is its
// export, because it has no file to copy.
type Memory struct {
	mu      sync.RWMutex
	entries []Entry
	ids     map[string]uint64
	aside   map[string][]byte
	closed  bool
	bell    bell
}

var _ Journal = (*Memory)(nil)

// NewMemory returns an empty journal.
func NewMemory() *Memory {
	return &Memory{ids: map[string]uint64{}, aside: map[string][]byte{}}
}

// Append implements Journal.
func (m *Memory) Append(expected Head, drafts ...Draft) ([]Entry, error) {
	drafts, err := checked(drafts)
	if err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.closed {
		return nil, ErrClosed
	}
	if there, err := repeated(drafts, m.find); err != nil || there != nil {
		return there, err
	}
	if expected != m.head() {
		return nil, unexpected(expected, m.head())
	}
	entries := link(m.head(), drafts)
	for _, e := range entries {
		m.entries = append(m.entries, e.clone())
		m.ids[e.ID] = e.Seq
	}
	m.bell.ring()
	return entries, nil
}

// Head implements Journal.
func (m *Memory) Head() (Head, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	if m.closed {
		return Head{}, ErrClosed
	}
	return m.head(), nil
}

func (m *Memory) head() Head {
	if len(m.entries) == 0 {
		return Head{}
	}
	return m.entries[len(m.entries)-1].head()
}

// Read implements Journal.
func (m *Memory) Read(from uint64, visit func(Entry) error) error {
	m.mu.RLock()
	entries, closed := m.entries, m.closed // what is appended later is beyond this slice
	m.mu.RUnlock()
	if closed {
		return ErrClosed
	}
	for seq := max(from, 1); seq <= uint64(len(entries)); seq++ {
		if err := visit(entries[seq-1].clone()); err != nil {
			return err
		}
	}
	return nil
}

// Find implements Journal.
func (m *Memory) Find(id string) (Entry, bool, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	if m.closed {
		return Entry{}, false, ErrClosed
	}
	return m.find(id)
}

func (m *Memory) find(id string) (Entry, bool, error) {
	seq, ok := m.ids[id]
	if !ok {
		return Entry{}, false, nil
	}
	return m.entries[seq-1].clone(), true, nil
}

// Watch implements Journal.
func (m *Memory) Watch(ctx context.Context, from uint64) iter.Seq2[Entry, error] {
	return watch(ctx, from, &m.bell, m.Read)
}

// Put implements Journal.
func (m *Memory) Put(key string, value []byte) error {
	if err := checkAside(key, value); err != nil {
		return err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	switch {
	case m.closed:
		return ErrClosed
	case value == nil:
		delete(m.aside, key)
	default:
		m.aside[key] = bytes.Clone(value)
	}
	return nil
}

// Get implements Journal.
func (m *Memory) Get(key string) ([]byte, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	if m.closed {
		return nil, ErrClosed
	}
	return bytes.Clone(m.aside[key]), nil
}

// Backup implements Journal: it writes what Export does.
func (m *Memory) Backup(w io.Writer) error { return Export(w, m) }

// Close implements Journal.
func (m *Memory) Close() error {
	m.mu.Lock()
	m.closed = true
	m.mu.Unlock()
	m.bell.ring()
	return nil
}

// clone returns e with a body of its own.
func (e Entry) clone() Entry {
	e.Body = json.RawMessage(bytes.Clone(e.Body))
	return e
}
