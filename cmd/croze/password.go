package main

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"example.org/croze/internal/book"
	"example.org/croze/internal/server"
)

var passwordCommand = command{
	name: "password",
	does: "sets the password that croze serve asks for",
	args: "--data DIR [--who NAME]",
	more: fmt.Sprintf("It is typed twice, or read as one line of what comes in. It has %d to %d characters.\n", server.ShortestPassword, server.LongestPassword) +
		"Without one, croze serve can be opened from this machine only. The first one is that of the\n" +
		"account \"owner\"; --who gives another account a new password, which is the way back in for\n" +
		"somebody who is locked out. It ends the account's sessions and takes its passkeys away.",
	example: "croze password --data cellar",
	set:     setPassword,
}

func setPassword(f *flag.FlagSet) func(world, []string) error {
	data := dataFlag(f)
	who := f.String("who", "", "`NAME` of the account; blank is the owner's")
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		if _, err := needStore(*data); err != nil {
			return err
		}
		password, err := w.readPassword()
		if err != nil {
			return err
		}
		err = w.writing(*data, func(b *book.Book) error {
			if *who != "" {
				return server.SetPasswordOf(b.Journal(), *who, password)
			}
			return server.SetPassword(b.Journal(), password)
		})
		if err == nil {
			fmt.Fprintln(w.out, "The password is set.")
		}
		return err
	}
}

// readPassword asks twice at a terminal, without showing what is typed.
func (w world) readPassword() (string, error) {
	if f, ok := w.in.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return w.askPassword(int(f.Fd()))
	}
	line, err := bufio.NewReader(w.in).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", err
	}
	return strings.TrimRight(line, "\r\n"), nil
}

func (w world) askPassword(terminal int) (string, error) {
	var typed [2]string
	for i, prompt := range []string{"New password: ", "The same again: "} {
		fmt.Fprint(w.err, prompt)
		text, err := term.ReadPassword(terminal)
		fmt.Fprintln(w.err)
		if err != nil {
			return "", err
		}
		typed[i] = string(text)
	}
	if typed[0] != typed[1] {
		return "", errors.New("the two are not the same: nothing was changed")
	}
	return typed[0], nil
}
