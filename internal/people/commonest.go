package people

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"io"
	"strings"
	"unicode"

	"example.org/croze/internal/cellar"
)

// commonestPacked are the passwords that are tried first, one a line, in small
// letters. It is unpacked for each new password: that takes a hundredth of the
// time that hashing it does, and nothing stays in memory.
//
//go:embed commonest/passwords.txt.gz
var commonestPacked []byte

// shortestWord is how long a word must be to be looked for in a password.
const shortestWord = 3

// programName is a name that everybody knows who can open the page.
const programName = "croze"

// refuseGuessable refuses a password that is tried first: a common one, one with
// digits and marks around it, one written twice, or no more than names that
// everybody here knows.
func refuseGuessable(password string, names []string) error {
	all := lettersAndDigits(password)
	if onlyNames(all, names) {
		return guessable("is little more than a name that everybody here knows: take a few words that nobody would put together")
	}
	once := onceOf(all)
	common, err := isCommon(strings.ToLower(password), all, withoutDigits(all), once, withoutDigits(once))
	if err != nil {
		return err
	}
	if common || len(onceOf(password)) < shortestWord {
		return guessable("is among those that are tried first, digits and marks around it or not: take a few words that nobody would put together")
	}
	return nil
}

func guessable(reason string) error {
	return &cellar.Problem{Kind: cellar.Invalid, Field: "password", Reason: reason}
}

// lettersAndDigits is a text without what stands between them, in small letters.
func lettersAndDigits(text string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, text)
}

func withoutDigits(text string) string { return strings.TrimFunc(text, unicode.IsDigit) }

// onceOf is what a text repeats, or the text.
func onceOf(text string) string {
	for n := 1; n <= len(text)/2; n++ {
		if len(text)%n == 0 && strings.Repeat(text[:n], len(text)/n) == text {
			return text[:n]
		}
	}
	return text
}

// onlyNames says whether nothing but names and digits is in a text.
func onlyNames(text string, names []string) bool {
	rest := text
	for _, name := range append([]string{programName}, names...) {
		if name = lettersAndDigits(name); len(name) >= shortestWord {
			rest = strings.ReplaceAll(rest, name, "")
		}
	}
	return rest != text && withoutDigits(rest) == ""
}

// isCommon says whether one of some words is in the list.
func isCommon(words ...string) (bool, error) {
	reader, err := gzip.NewReader(bytes.NewReader(commonestPacked))
	if err != nil {
		return false, err
	}
	list, err := io.ReadAll(reader)
	if err != nil {
		return false, err
	}
	for line := range bytes.Lines(list) {
		for _, word := range words {
			if word != "" && string(bytes.TrimSuffix(line, []byte("\n"))) == word {
				return true, nil
			}
		}
	}
	return false, nil
}
