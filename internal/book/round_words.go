package book

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"example.org/croze/internal/cellar"
)

// SenseWords are the words that this store has used of nose and palate, those
// used most first.
type SenseWords struct{ Nose, Palate []string }

const (
	mostSenseWords   = 12
	longestSenseWord = 30 // bytes; what is longer is a sentence
)

// SenseWords lists the words to offer while tasting.
func (v *View) SenseWords() SenseWords {
	return remember(v, "", "sense words", func() SenseWords {
		nose, palate := make(map[string]int), make(map[string]int)
		for _, vessel := range v.State.Vessels {
			for _, e := range vessel.Events {
				if s, ok := e.Entry.Fact.(*cellar.Sample); ok && s.Senses != nil {
					countWords(nose, s.Senses.Nose)
					countWords(palate, s.Senses.Palate)
				}
			}
		}
		return SenseWords{mostUsed(nose), mostUsed(palate)}
	})
}

// countWords takes a remark apart at its commas and the like.
func countWords(counts map[string]int, remark string) {
	for _, word := range strings.FieldsFunc(remark, func(r rune) bool { return strings.ContainsRune(",;.\n", r) }) {
		word = strings.ToLower(strings.TrimSpace(word))
		if word != "" && len(word) <= longestSenseWord {
			counts[word]++
		}
	}
}

func mostUsed(counts map[string]int) []string {
	words := slices.SortedFunc(maps.Keys(counts), func(a, b string) int {
		return cmp.Or(cmp.Compare(counts[b], counts[a]), cmp.Compare(a, b))
	})
	return words[:min(len(words), mostSenseWords)]
}
