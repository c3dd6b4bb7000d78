package journal

import (
	"context"
	"errors"
	"io"
	"sync"
	"testing"
)

// TestClosedWhileInUse closes a store while others append, read, watch and
// copy. Each of them must come to an end with ErrClosed, and what was
// acknowledged must be there afterwards.
func TestClosedWhileInUse(t *testing.T) {
	for range 20 {
		s := newStore(t)
		mustAppend(t, s, drafts(0, 20)...)
		var wg, busy sync.WaitGroup
		var acknowledged Head
		uses := []func() error{
			func() error {
				head, err := s.Head()
				if err != nil {
					return err
				}
				entries, err := s.Append(head, draft(int(head.Seq)))
				if err == nil {
					acknowledged = entries[0].head()
				}
				return err
			},
			func() error { return s.Read(1, func(Entry) error { return nil }) },
			func() error { return s.Backup(io.Discard) },
			func() error { _, _, err := s.Find(draft(3).ID); return err },
		}
		busy.Add(len(uses))
		wg.Go(func() {
			if err := lastOf(s); !errors.Is(err, ErrClosed) {
				t.Errorf("the watch ended with %v", err)
			}
		})
		for _, use := range uses {
			wg.Go(func() {
				err := use()
				busy.Done()
				for err == nil {
					err = use()
				}
				if !errors.Is(err, ErrClosed) {
					t.Errorf("the end is %v", err)
				}
			})
		}
		busy.Wait()
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		wg.Wait()
		wantHead(t, s.Path(), acknowledged)
	}
}

// lastOf watches s to its end.
func lastOf(s *Store) (last error) {
	for _, err := range s.Watch(context.Background(), 1) {
		last = err
	}
	return last
}

func wantHead(t *testing.T, path string, want Head) {
	t.Helper()
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	mustVerify(t, s)
	if head, err := s.Head(); err != nil || head != want {
		t.Errorf("head is %v, want %v: %v", head, want, err)
	}
}
