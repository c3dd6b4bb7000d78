package journal

import "fmt"

// Verify reads the whole journal and returns nil if every entry is as it was
// recorded, or a *DamageError that names the first one that is not and says
// what is wrong with it. A Store's asides are checked after its entries.
func Verify(j Journal) error {
	head, err := j.Head()
	if err != nil {
		return err
	}
	var before Head
	err = j.Read(1, func(e Entry) error {
		if err := follows(before, e); err != nil {
			return err
		}
		before = e.head()
		return findsItself(j, e)
	})
	if err != nil {
		return err
	}
	if before.Seq < head.Seq {
		return &DamageError{before.Seq + 1, fmt.Sprintf("it is missing: the last entry is %d", head.Seq)}
	}
	s, ok := j.(*Store)
	if !ok {
		return nil
	}
	if err := s.everyIDHasItsEntry(); err != nil {
		return err
	}
	return s.checkAsides()
}

// findsItself checks that e is found by its ID.
func findsItself(j Journal, e Entry) error {
	found, ok, err := j.Find(e.ID)
	if err != nil {
		return err
	}
	if !ok || found.Hash != e.Hash {
		return &DamageError{e.Seq, fmt.Sprintf("looking for its ID %s does not find it", e.ID)}
	}
	return nil
}
