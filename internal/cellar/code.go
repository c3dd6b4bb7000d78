package cellar

import (
	"math/bits"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A vessel's code is issued by the book: digit, letter, digit, dash, letter,
// digit, check character, as in 7K4-M2X. It is short enough to shout across a
// store, uses no character that is taken for another (0/O, 1/I/L, 2/Z, 5/S,
// 6/G, 8/B, U/V, M/N), and its alternating form is one that hardly anyone
// makes up, so a maker's or an owner's own code is not mistaken for it. When
// the short form is used up, pairs of a letter and a digit are added.

const (
	longestForeignCode = 40 // characters of a code that is not of the book's own form
	ownHead            = 3  // characters before the dash
	ownShortest        = 6  // characters of the shortest own form, without the dash
	ownLongest         = 20
)

// ParseCode reads a vessel's code as typed or scanned. A code of the book's own
// form, in any case, with its dash, a space or nothing there, comes back in capitals with
// the dash and own is true; if its check character is wrong it is refused. Any
// other code of up to 40 letters, digits, spaces and -_./ comes back as typed,
// without the spaces around it.
func ParseCode(s string) (canonical string, own bool, err error) {
	s = strings.TrimSpace(s)
	if bare, ok := ownForm(s); ok {
		payload := bare[:len(bare)-1]
		want, err := CheckCharacter(payload)
		if err != nil {
			return "", true, err
		}
		if bare[len(bare)-1] != want {
			return "", true, invalid("code", s, "the last character does not fit the others: look at the label again and type the code once more")
		}
		return withDash(bare), true, nil
	}
	if err := checkForeign(s); err != nil {
		return "", false, err
	}
	return s, false, nil
}

// ownForm takes off the dash and says whether s is of the book's own form,
// whatever its check character.
func ownForm(s string) (bare string, ok bool) {
	s = strings.ToUpper(s)
	if len(s) > ownHead && (s[ownHead] == '-' || s[ownHead] == ' ') {
		s = s[:ownHead] + s[ownHead+1:]
	}
	if len(s) < ownShortest || len(s) > ownLongest || len(s)%2 != 0 {
		return "", false
	}
	last := len(s) - 1
	for i := range last {
		if digit := i%2 == 0; digit && !isDigit(s[i]) || !digit && !isCapital(s[i]) {
			return "", false
		}
	}
	return s, isDigit(s[last]) || isCapital(s[last])
}

func withDash(bare string) string { return bare[:ownHead] + "-" + bare[ownHead:] }

func isDigit(c byte) bool   { return c >= '0' && c <= '9' }
func isCapital(c byte) bool { return c >= 'A' && c <= 'Z' }

func checkForeign(s string) error {
	switch {
	case s == "":
		return invalid("code", nil, "is empty: type the code on the vessel")
	case !utf8.ValidString(s):
		return invalid("code", s, "is not valid UTF-8 text: save the file as UTF-8")
	case utf8.RuneCountInString(s) > longestForeignCode:
		return invalid("code", beginning(s), "is longer than %d characters: use a shorter one", longestForeignCode)
	}
	named := false
	for _, r := range s {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			named = true
		case unicode.IsMark(r) && named:
		case strings.ContainsRune("-_./ ", r):
		default:
			return invalid("code", s, "holds %q: letters, digits, spaces and - _ . / are allowed", r)
		}
	}
	if !named {
		return invalid("code", s, "has no letter or digit: a code needs one")
	}
	return nil
}

// CheckCharacter returns the check character of s by the hybrid system
// MOD 37,36 of ISO/IEC 7064, over digits and capital letters. It finds every
// single wrong character and 629 of 630 swaps of two neighbours; in issued
// codes it finds them all, because a swap there breaks the alternating form.
func CheckCharacter(s string) (byte, error) {
	if s == "" {
		return 0, invalid("code", nil, "is empty: there is nothing to check")
	}
	product := checkModulus
	for i := range len(s) {
		value := strings.IndexByte(checkAlphabet, s[i])
		if value < 0 {
			return 0, invalid("code", s, "holds %q: only digits and capital letters can be checked", s[i])
		}
		product = checkStep(product, value)
	}
	return checkOf(product), nil
}

const (
	checkAlphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	checkModulus  = len(checkAlphabet)
)

// checkStep takes one more character into the running product, 1 to 36.
func checkStep(product, value int) int {
	sum := (product + value) % checkModulus
	if sum == 0 {
		sum = checkModulus
	}
	return sum * 2 % (checkModulus + 1)
}

// checkOf closes the product: the sum of both is 1 modulo 36.
func checkOf(product int) byte {
	return checkAlphabet[(checkModulus+1-product)%checkModulus]
}

// Characters that are issued. Those left out look or sound like another.
const (
	issuedDigits  = "23456789"
	issuedLetters = "ACFHJKMPRTWXY"
)

// issuedAt returns what may stand at a place of the payload.
func issuedAt(place int) string {
	if place%2 == 0 {
		return issuedDigits
	}
	return issuedLetters
}

// codeRoom counts, for a running product and a number of payload characters
// still to come, the codes whose check character is one that is issued.
// codeRoom[left][product] sums codeRoom[left-1] over what may come next.
var codeRoom = func() (room [ownLongest][checkModulus + 1]uint64) {
	for product := 1; product <= checkModulus; product++ {
		if strings.IndexByte(issuedDigits+issuedLetters, checkOf(product)) >= 0 {
			room[0][product] = 1
		}
	}
	for left := 1; left < ownLongest; left++ {
		for product := 1; product <= checkModulus; product++ {
			// A payload is of odd length, so its last character is a digit.
			for _, c := range []byte(issuedAt(left + 1)) {
				room[left][product] += room[left-1][checkStep(product, strings.IndexByte(checkAlphabet, c))]
			}
		}
	}
	return room
}()

// IssueCode returns the n-th code, from 0. Different n give different codes,
// the same n always the same one, and neighbours do not look alike, so that a
// slip of one vessel is seen. The first 50 000 or so are of seven characters;
// numbers run to some 10^18 before they start again.
func IssueCode(n uint64) string {
	for payload := ownShortest - 1; ; payload += 2 {
		room := codeRoom[payload][checkModulus]
		if n < room || payload == ownLongest-1 {
			return spellCode(scatter(n%room, room), payload)
		}
		n -= room
	}
}

// scatter maps 0…room-1 onto itself, neighbours far apart: a step near the
// golden section of room, with no factor in common with it, goes round once.
func scatter(n, room uint64) uint64 {
	step := uint64(float64(room) * 0.6180339887)
	for gcd(step, room) != 1 {
		step++
	}
	high, low := bits.Mul64(n, step)
	_, remainder := bits.Div64(high, low, room)
	return remainder
}

func gcd(a, b uint64) uint64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// spellCode writes the code of a rank among those of one length.
func spellCode(rank uint64, payload int) string {
	bare := make([]byte, 0, payload+1)
	product := checkModulus
	for place := range payload {
		for _, c := range []byte(issuedAt(place)) {
			next := checkStep(product, strings.IndexByte(checkAlphabet, c))
			room := codeRoom[payload-place-1][next]
			if rank < room {
				bare, product = append(bare, c), next
				break
			}
			rank -= room
		}
	}
	return withDash(string(append(bare, checkOf(product))))
}
