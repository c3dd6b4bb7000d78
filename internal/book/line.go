package book

import (
	"sync"

	"example.org/croze/internal/cellar"
)

// mostInASheaf is how many submissions are taken in one piece.
const mostInASheaf = 64

// line is who waits to have an entry taken, in the order in which they came.
// One of them at a time leads, and takes in those before it as well. The others
// wait for their answers and not for a lock, which would be handed to each in
// turn for nothing.
type line struct {
	lead    chan struct{} // holds what the one who leads put there
	mu      sync.Mutex
	waiting []*submitted
}

// submitted is a submission and, once it is done, its answer.
type submitted struct {
	Submission
	done  chan struct{} // closed when it is
	entry cellar.Entry
	err   error
}

func (s *submitted) answer(e cellar.Entry, err error) {
	s.entry, s.err = e, err
	close(s.done)
}

func (s *submitted) isDone() bool {
	select {
	case <-s.done:
		return true
	default:
		return false
	}
}

func (l *line) join(s *submitted) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.waiting = append(l.waiting, s)
}

// next takes those whose turn it is out of the line; one who is no longer in it
// and has no answer, because whoever took it failed, takes itself.
func (l *line) next(self *submitted) []*submitted {
	l.mu.Lock()
	defer l.mu.Unlock()
	n := min(len(l.waiting), mostInASheaf)
	if n == 0 {
		return []*submitted{self}
	}
	taken := l.waiting[:n:n]
	l.waiting = l.waiting[n:]
	return taken
}

// take has a submission taken in, with those who wait before it. The caller
// does not hold the lock.
func (b *Book) take(s Submission) (cellar.Entry, error) {
	defer b.attend()()
	self := &submitted{Submission: s, done: make(chan struct{})}
	b.line.join(self)
	select {
	case <-self.done:
	case b.line.lead <- struct{}{}:
		defer func() { <-b.line.lead }()
		for !self.isDone() {
			b.takeAll(b.line.next(self))
		}
	}
	return self.entry, self.err
}

// takeAll gives each its answer.
func (b *Book) takeAll(list []*submitted) {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, one := range list {
		if e, repeated, err := b.recorded(one.Submission); repeated || err != nil {
			one.answer(e, err)
		}
	}
	s, numbers := b.sheaf(), make(map[*submitted]int)
	for _, one := range list {
		if one.isDone() {
			continue
		}
		i, err := s.take(one.Submission)
		if err != nil {
			one.answer(cellar.Entry{}, err)
			continue
		}
		numbers[one] = i
	}
	written, err := b.commit(s)
	for one, i := range numbers {
		if err != nil {
			one.answer(cellar.Entry{}, err)
			continue
		}
		one.answer(written[i], nil)
	}
}

// take works a submission out and adds it to the sheaf, or finds it there.
func (s *sheaf) take(sub Submission) (int, error) {
	if i, there := s.find(sub.ID); there {
		return i, s.repeats(s.entries[len(s.entries)-len(s.drafts)+i], sub)
	}
	fact, questions, err := s.resolve(sub.Request, s.edge.Now())
	if err != nil {
		return 0, err
	}
	if len(questions) > 0 && !sub.Sure {
		return 0, &Doubts{questions}
	}
	return s.add(sub.ID, sub.Who, sub.Request.When, fact)
}
