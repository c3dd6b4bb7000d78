package server

import (
	"time"

	"example.org/croze/internal/journal"
	"example.org/croze/internal/people"
)

// Lengths of a password, in characters.
const (
	ShortestPassword = people.ShortestPassword
	LongestPassword  = people.LongestPassword
)

// SetPassword gives the owner a password, and makes that account if there is
// none; whoever opens the pages must then sign in.
func SetPassword(j journal.Journal, password string) error {
	house := people.Open(j, time.Now)
	empty, err := house.Empty()
	if err != nil {
		return err
	}
	if empty {
		return house.Add(people.OwnerName, people.Owner, password)
	}
	name, err := house.Only()
	if err != nil {
		return err
	}
	if name == "" {
		name = people.OwnerName
	}
	return house.SetPassword(name, password)
}

// SetPasswordOf gives an account a new password: the way back in for who is
// locked out, from the console.
func SetPasswordOf(j journal.Journal, name, password string) error {
	return people.Open(j, time.Now).SetPassword(name, password)
}

// HasPassword says whether anybody has an account.
func HasPassword(j journal.Journal) (bool, error) {
	empty, err := people.Open(j, time.Now).Empty()
	return !empty, err
}
