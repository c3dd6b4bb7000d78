package main

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"

	"example.org/croze/internal/journal"
	"example.org/croze/internal/server"
)

var passwordCommand = command{
	name:    "password",
	does:    "sets the password of a store, read from standard input",
	args:    "--data DIR",
	more:    "With a password set, croze serve may listen for other machines. Stop croze serve first.",
	example: "croze password --data cellar",
	set:     setPassword,
}

func setPassword(f *flag.FlagSet) func(world, []string) error {
	data := dataFlag(f)
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		path, err := needStore(*data)
		if err != nil {
			return err
		}
		fmt.Fprintf(w.err, "password (at least %d characters): ", server.ShortestPassword)
		line, err := bufio.NewReader(io.LimitReader(w.in, 4096)).ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		j, err := journal.Open(path)
		if err != nil {
			return err
		}
		return errors.Join(server.SetPassword(j, strings.TrimRight(line, "\r\n")), j.Close())
	}
}
