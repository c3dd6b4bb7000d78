package keep

import (
	"context"
	"fmt"
	"sync"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/journal"
)

// Keeper makes the backups of one open journal. Its methods may be called from
// many goroutines; one backup is made at a time.
type Keeper struct {
	journal journal.Journal
	plan    Plan
	now     func() time.Time
	making  sync.Mutex
}

// New returns a keeper by a plan. The journal stays the caller's.
func New(j journal.Journal, plan Plan, now func() time.Time) (*Keeper, error) {
	if err := plan.Check(); err != nil {
		return nil, err
	}
	return &Keeper{journal: j, plan: plan, now: now}, nil
}

// Run makes a backup at every tick at which one is due, until ctx is done, and
// reports those that fail.
func (k *Keeper) Run(ctx context.Context, ticks <-chan time.Time, report func(error)) {
	for {
		if err := k.Tend(); err != nil {
			report(err)
		}
		select {
		case <-ctx.Done():
			return
		case <-ticks:
		}
	}
}

// Tend makes a backup if one is due.
func (k *Keeper) Tend() error {
	past, err := k.history()
	if err != nil {
		return err
	}
	if !k.plan.due(k.now(), past.good().At, past.tried()) {
		return nil
	}
	_, err = k.BackUp()
	return err
}

// Status is how the backups stand.
type Status struct {
	Plan    Plan
	Last    Backup    // the last that was verified; At is zero if there is none
	Failed  Backup    // the last trial, if it failed; At is zero if it did not
	Next    time.Time // when the next is due
	Overdue bool      // the last verified one is older than two turns, or there is none
	Files   []File    // what is in the folder, newest first
	Folder  string    // why the folder cannot be read; "": it can
}

// Status says how the backups stand now.
func (k *Keeper) Status() (Status, error) {
	past, err := k.history()
	if err != nil {
		return Status{}, err
	}
	now := k.now()
	s := Status{Plan: k.plan, Last: past.good(), Next: k.plan.slot(now).Add(k.plan.Every)}
	if s.Files, err = k.files(past); err != nil { // a disk that is not there is no reason to hide the rest
		s.Folder = err.Error()
	}
	s.Overdue = k.plan.overdue(now, s.Last.At)
	if len(past.Backups) > 0 && past.Backups[0].Problem != "" {
		s.Failed = past.Backups[0]
	}
	return s, nil
}

// Task is what a person should do about the backups, if anything.
func (k *Keeper) Task() (book.Task, bool, error) {
	s, err := k.Status()
	if err != nil || !s.Overdue {
		return book.Task{}, false, err
	}
	reason := "none has been made and verified yet"
	if !s.Last.At.IsZero() {
		reason = fmt.Sprintf("the last that was verified is of %s", s.Last.At.Format(time.DateOnly))
	}
	if s.Failed.Problem != "" {
		reason += "; the last trial failed: " + s.Failed.Problem
	}
	return book.Task{Urgency: 2000, Kind: "backup", Title: "Back up the book", Reason: reason}, true, nil
}
