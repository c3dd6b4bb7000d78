package keep

import (
	"encoding/json"
	"fmt"
	"time"

	"example.org/croze/internal/journal"
)

// Backup is one backup that was made, or tried.
type Backup struct {
	File       string       `json:"file,omitempty"` // its name in the folder
	At         time.Time    `json:"at"`
	Bytes      int64        `json:"bytes,omitempty"`
	Entries    uint64       `json:"entries,omitempty"`
	Head       journal.Head `json:"head"`
	VerifiedAt time.Time    `json:"verified_at"`
	Problem    string       `json:"problem,omitempty"` // why it was not kept; "": it is good
}

// past is how the backups went, newest first.
type past struct {
	Backups []Backup `json:"backups"`
}

const (
	asideKey      = "backups" // where the past is kept beside the journal
	longestMemory = 100
)

func (k *Keeper) history() (past, error) {
	var p past
	data, err := k.journal.Get(asideKey)
	if err != nil || data == nil {
		return p, err
	}
	if err := json.Unmarshal(data, &p); err != nil {
		return p, fmt.Errorf("what is kept of the backups cannot be read: %w", err)
	}
	return p, nil
}

// remember puts a backup in front of the past.
func (k *Keeper) remember(b Backup) error {
	p, err := k.history()
	if err != nil {
		return err
	}
	p.Backups = append([]Backup{b}, p.Backups...)
	p.Backups = p.Backups[:min(len(p.Backups), longestMemory)]
	data, err := json.Marshal(p)
	if err != nil {
		return err
	}
	return k.journal.Put(asideKey, data)
}

// good is the last backup that was verified.
func (p past) good() Backup {
	for _, b := range p.Backups {
		if b.Problem == "" {
			return b
		}
	}
	return Backup{}
}

// tried is when the last one was tried.
func (p past) tried() time.Time {
	if len(p.Backups) == 0 {
		return time.Time{}
	}
	return p.Backups[0].At
}
