package keep

import (
	"fmt"
	"time"
)

// Plan says where backups go, how often, and how many are kept.
type Plan struct {
	Dir   string
	Every time.Duration // an hour or more
	At    time.Duration // since midnight on the clock of this machine: when the day's first is due
	Keep  int           // 1 or more
}

// Limits of a plan.
const (
	shortestEvery = time.Hour
	day           = 24 * time.Hour
	mostKept      = 10_000
)

// Check holds a plan to what can be done.
func (p Plan) Check() error {
	switch {
	case p.Dir == "":
		return fmt.Errorf("backup-dir: is missing: say in which folder to keep backups")
	case p.Every < shortestEvery:
		return fmt.Errorf("backup-every: %s: must be an hour or more", p.Every)
	case p.At < 0 || p.At >= day:
		return fmt.Errorf("backup-at: %s: must be a time of day, 00:00 to 23:59", p.At)
	case p.Keep < 1 || p.Keep > mostKept:
		return fmt.Errorf("backup-keep: %d: must be 1 to %d", p.Keep, mostKept)
	}
	return nil
}

// slot is the last time at or before now at which a backup was due.
func (p Plan) slot(now time.Time) time.Time {
	year, month, date := now.Date()
	anchor := time.Date(year, month, date, 0, 0, 0, 0, now.Location()).Add(p.At)
	turns := now.Sub(anchor) / p.Every
	if now.Before(anchor.Add(turns * p.Every)) {
		turns--
	}
	return anchor.Add(turns * p.Every)
}

// due says whether a backup should be made now, the last good one being of a
// time (zero: none) and the last trial of another.
func (p Plan) due(now, good, tried time.Time) bool {
	const again = time.Hour // after one that failed
	if !good.IsZero() && !good.Before(p.slot(now)) {
		return false
	}
	return tried.IsZero() || !tried.After(good) || now.Sub(tried) >= again
}

// overdue says whether the last verified backup is too old.
func (p Plan) overdue(now, good time.Time) bool { return now.Sub(good) > 2*p.Every }
