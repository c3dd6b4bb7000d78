package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"path/filepath"
	"time"

	"example.org/croze/internal/journal"
	"example.org/croze/internal/keep"
	"example.org/croze/internal/server"
)

// backupFlags say how a server keeps backups.
type backupFlags struct {
	dir, at *string
	every   *time.Duration
	keep    *int
}

// What is kept unless it is said.
const (
	usualEvery = 24 * time.Hour
	usualAt    = "03:00"
	usualKeep  = 14
)

func setBackupFlags(f *flag.FlagSet) backupFlags {
	return backupFlags{
		dir:   f.String("backup-dir", "", "`DIR` for backups, best on another disk (as a rule backups in the data folder)"),
		every: f.Duration("backup-every", usualEvery, "`TIME` between backups, such as 24h or 6h; 0 makes none"),
		at:    f.String("backup-at", usualAt, "`HH:MM` at which the day's first is due"),
		keep:  f.Int("backup-keep", usualKeep, "`N` backups are kept, the oldest goes first"),
	}
}

// usualBackups is what is done where there are no flags.
func usualBackups() backupFlags { return setBackupFlags(flag.NewFlagSet("", flag.ContinueOnError)) }

// keeper makes what the flags say, nil for none.
func (b backupFlags) keeper(w world, j journal.Journal, data string) (*keep.Keeper, error) {
	if *b.every == 0 {
		return nil, nil
	}
	at, err := time.Parse("15:04", *b.at)
	if err != nil {
		return nil, fmt.Errorf("--backup-at: %q: write a time of day as HH:MM", *b.at)
	}
	plan := keep.Plan{
		Dir: *b.dir, Every: *b.every, Keep: *b.keep,
		At: time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute,
	}
	if plan.Dir == "" {
		plan.Dir = filepath.Join(data, "backups")
	}
	k, err := keep.New(j, plan, w.now)
	if err != nil {
		return nil, errors.New("--" + err.Error())
	}
	return k, nil
}

// keepBackups makes backups in the background until ctx is done. The channel is
// closed when the last one is over.
func keepBackups(ctx context.Context, options server.Options) <-chan struct{} {
	ended := make(chan struct{})
	if options.Backups == nil {
		close(ended)
		return ended
	}
	ticker := time.NewTicker(time.Minute)
	go func() {
		defer close(ended)
		defer ticker.Stop()
		options.Backups.Run(ctx, ticker.C, func(err error) {
			options.Log.Error("backup failed", slog.Any("error", err))
		})
	}()
	return ended
}
