package main

import (
	"cmp"
	"context"
	"crypto/tls"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/url"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"

	"example.org/croze/internal/book"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/label"
	"example.org/croze/internal/people"
	"example.org/croze/internal/photo"
	"example.org/croze/internal/server"
	"example.org/croze/labels"
)

var serveCommand = command{
	name: "serve",
	does: "serves a store's pages",
	args: "--data DIR [--listen ADDR] [--public-url URL] [--tls-cert F --tls-key F | --tls-self]\n" +
		"                   [--hsts] [--set-up]\n" +
		"                   [--backup-dir DIR] [--backup-every TIME] [--backup-at HH:MM] [--backup-keep N]",
	more: "A store that is not there is made. Without a password (croze password) it listens on\n" +
		"this machine only; with --set-up it may listen for others too, and shows them nothing until\n" +
		"somebody has made the owner's account with the code printed here. A phone's camera and work\n" +
		"without a signal need https: --tls-self makes a certificate in the data folder, which each\n" +
		"phone must be told to trust once.\n" +
		"It makes verified backups while it runs; keep them on another disk.",
	example: "croze serve --data cellar --listen 127.0.0.1:8080",
	set:     setServe,
}

// Where a store is served unless it is said.
const (
	usualListen  = "127.0.0.1:8080"
	sharedListen = ":8080" // with a password
)

type serveFlags struct {
	data, listen, publicURL, cert, key *string
	selfMade, hsts, setUp              *bool
	backups                            backupFlags
}

func setServe(f *flag.FlagSet) func(world, []string) error {
	s := serveFlags{
		data: dataFlag(f), listen: f.String("listen", "", "`ADDR` to listen on"),
		publicURL: f.String("public-url", "", "`URL` at which phones reach it; labels hold it"),
		cert:      f.String("tls-cert", "", "certificate `FILE` (PEM)"),
		key:       f.String("tls-key", "", "its key `FILE` (PEM)"),
		selfMade:  f.Bool("tls-self", false, "use a certificate made by the program itself"),
		hsts:      f.Bool("hsts", false, "tell browsers to come to this host over https alone, for a year"),
		setUp:     f.Bool("set-up", false, "print a one-time code with which the first visitor becomes the owner"),
		backups:   setBackupFlags(f),
	}
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		return w.serve(s)
	}
}

func (w world) serve(s serveFlags) error {
	if err := s.checkHSTS(); err != nil {
		return err
	}
	path, there, err := storeFile(*s.data)
	if err != nil {
		return err
	}
	if !there {
		if err := server.CheckAddress(cmp.Or(*s.listen, usualListen), *s.setUp); err != nil {
			return err // before anything is made
		}
		if err := os.MkdirAll(*s.data, 0o700); err != nil {
			return err
		}
	}
	j, err := journal.Open(path)
	if err != nil {
		return err
	}
	defer j.Close()
	secured, err := server.HasPassword(j)
	if err != nil {
		return err
	}
	address := *s.listen
	if address == "" {
		address = usualListen
		if secured || *s.setUp {
			address = sharedListen
		}
	}
	if err := server.CheckAddress(address, secured || *s.setUp); err != nil {
		return err
	}
	house := people.Open(j, w.now)
	switch {
	case secured:
	case *s.setUp:
		fmt.Fprintf(w.err, "croze serve: whoever opens the store first with this code becomes its owner: %s\n", house.OfferSetup())
	default:
		fmt.Fprintln(w.err, "croze serve: no password is set, so only this machine can open the store (croze password sets one)")
	}
	secure, err := s.certificate(w)
	if err != nil {
		return err
	}
	backups, err := s.backups.keeper(w, j, *s.data)
	if err != nil {
		return err
	}
	options := server.Options{PublicURL: *s.publicURL, Backups: backups, People: house, SecureOnly: *s.hsts}
	if *s.selfMade {
		if options.Authority, err = server.Authority(*s.data); err != nil {
			return err
		}
	}
	return w.open(j, *s.data, address, secure, options)
}

// checkHSTS refuses a promise that would lock phones out: with an authority that
// they do not know yet, a browser that was promised https lets nobody pass.
func (s serveFlags) checkHSTS() error {
	switch public, err := url.Parse(*s.publicURL); {
	case !*s.hsts:
		return nil
	case *s.selfMade:
		return errors.New("--hsts: not with --tls-self: a phone that does not trust the certificate yet could not get past its warning")
	case *s.cert == "" && (err != nil || public.Scheme != "https"):
		return errors.New("--hsts: nothing here is served over https: give --tls-cert and --tls-key, or a --public-url that begins with https")
	}
	return nil
}

func (s serveFlags) certificate(w world) (*tls.Config, error) {
	switch {
	case *s.selfMade && *s.cert != "":
		return nil, errors.New("--tls-self: give it or --tls-cert, not both")
	case *s.selfMade:
		return server.SelfMade(*s.data, w.now())
	case (*s.cert == "") != (*s.key == ""):
		return nil, errors.New("--tls-cert and --tls-key: give both")
	case *s.cert != "":
		return server.Certificate(*s.cert, *s.key)
	}
	return nil, nil
}

// open serves a journal until the process is told to stop, and then keeps its
// projection.
func (w world) open(j *journal.Store, dir, address string, secure *tls.Config, options server.Options) error {
	if notice := j.Notice(); notice != "" {
		fmt.Fprintf(w.err, "croze serve: %s\n", notice)
	}
	b, err := book.Open(j, w.edge())
	if err != nil {
		return err
	}
	b.Prepare()
	options.Layouts, err = label.Layouts(labels.Files, ownLayouts(dir))
	if err != nil {
		return err
	}
	options.Photos = photo.Folder(filepath.Join(dir, photosFolder))
	options.Log = slog.New(slog.NewTextHandler(w.err, nil))
	app, err := server.New(b, options)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	ended := keepBackups(ctx, options)
	copies := make(chan error, 1)
	go func() { copies <- journal.ServeCopies(ctx, dir, j) }()
	err = server.Serve(ctx, app, address, secure, func(at net.Addr) {
		scheme := "http"
		if secure != nil {
			scheme = "https"
		}
		fmt.Fprintf(w.out, "Croze is at %s://%s (stop it with Ctrl-C)\n", scheme, shownAddress(at))
	})
	stop() // what the estimator is about in the background is not waited for: nothing of it is kept
	<-ended
	return errors.Join(err, <-copies, b.Keep())
}

// photosFolder is where pictures of samples are, in the data folder. They are
// not in the journal's file: whoever copies that copies the folder too.
const photosFolder = "photos"

// ownLayouts is the folder in which a store may keep label layouts of its own.
func ownLayouts(dir string) fs.FS { return os.DirFS(filepath.Join(dir, "labels")) }

// shownAddress is an address that a person can open.
func shownAddress(at net.Addr) string {
	tcp, ok := at.(*net.TCPAddr)
	if ok && tcp.IP.IsUnspecified() {
		return fmt.Sprintf("localhost:%d", tcp.Port)
	}
	return at.String()
}
