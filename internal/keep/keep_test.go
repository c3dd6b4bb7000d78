package keep

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// shop is a store with a keeper and a clock that the test sets.
type shop struct {
	*Keeper
	t    *testing.T
	now  time.Time
	ids  int
	book *book.Book
}

func newShop(t *testing.T, plan Plan) *shop {
	t.Helper()
	dir := t.TempDir()
	if plan.Dir == "" {
		plan.Dir = filepath.Join(dir, "backups")
	}
	s := &shop{t: t, now: time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)}
	j, err := journal.Open(filepath.Join(dir, journal.FileName))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := j.Close(); err != nil {
			t.Error(err)
		}
	})
	clock := func() time.Time { return s.now }
	s.book, err = book.Open(j, book.Edge{Now: clock, NewID: func(time.Time) string {
		s.ids++
		return fmt.Sprintf("01J%023d", s.ids)
	}})
	if err == nil {
		s.Keeper, err = New(j, plan, clock)
	}
	if err != nil {
		t.Fatal(err)
	}
	s.place("loft")
	return s
}

func (s *shop) place(name string) {
	s.t.Helper()
	if err := s.book.RegisterPlace("", "keeper", cellar.Place{Name: name}); err != nil {
		s.t.Fatal(err)
	}
}

func (s *shop) status() Status {
	s.t.Helper()
	status, err := s.Status()
	if err != nil {
		s.t.Fatal(err)
	}
	return status
}

var daily = Plan{Every: day, At: 3 * time.Hour, Keep: 3}

func TestABackupIsVerifiedAndOpens(t *testing.T) {
	s := newShop(t, daily)
	if status := s.status(); !status.Overdue || !status.Last.At.IsZero() || len(status.Files) != 0 {
		t.Errorf("before the first: %+v", status)
	}
	b, err := s.BackUp()
	if err != nil {
		t.Fatal(err)
	}
	head, err := s.book.Journal().Head()
	if err != nil || b.Head != head || b.Entries != 1 || b.File != "croze-20260301T120000Z.db" || !b.VerifiedAt.Equal(s.now) {
		t.Errorf("the backup is %+v of head %+v (%v)", b, head, err)
	}
	status := s.status()
	if status.Overdue || len(status.Files) != 1 || status.Files[0].Bytes != b.Bytes || status.Files[0].Entries != 1 || status.Failed.Problem != "" {
		t.Errorf("after it: %+v", status)
	}
	copied, err := journal.OpenReadOnly(filepath.Join(s.plan.Dir, b.File))
	if err != nil {
		t.Fatal(err)
	}
	defer copied.Close()
	if found, err := book.Verify(copied); err != nil || found.Problem != "" || found.Head != head {
		t.Errorf("opened again it is %+v (%v)", found, err)
	}
}

func TestOnlyTheNewestAreKept(t *testing.T) {
	s := newShop(t, daily)
	other := filepath.Join(s.plan.Dir, "croze-2020.db")
	if err := os.MkdirAll(s.plan.Dir, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(other, []byte("somebody's own"), 0o600); err != nil {
		t.Fatal(err)
	}
	var made []string
	for i := range 6 {
		if i%2 == 0 {
			s.now = s.now.Add(day) // two in one second, every other day
		}
		b, err := s.BackUp()
		if err != nil {
			t.Fatal(err)
		}
		made = append(made, b.File)
	}
	files := s.status().Files
	if len(files) != 3 {
		t.Fatalf("kept are %+v", files)
	}
	for i, f := range files {
		if want := made[len(made)-1-i]; f.Name != want {
			t.Errorf("kept is %s, want %s", f.Name, want)
		}
	}
	if _, err := os.Stat(other); err != nil {
		t.Errorf("a file that is not ours: %v", err)
	}
	if left, _ := filepath.Glob(filepath.Join(s.plan.Dir, ".croze-*")); len(left) > 0 {
		t.Errorf("left over are %v", left)
	}
}

// A backup that fails is remembered, and neither leaves a file nor takes one away.
func TestABackupThatFails(t *testing.T) {
	s := newShop(t, Plan{Every: day, Keep: 1})
	if _, err := s.BackUp(); err != nil {
		t.Fatal(err)
	}
	dir := s.plan.Dir
	s.plan.Dir = filepath.Join(dir, "croze-20260301T120000Z.db", "below a file")
	s.now = s.now.Add(3 * day)
	if _, err := s.BackUp(); err == nil || !strings.Contains(err.Error(), "no backup was made") {
		t.Errorf("into a folder that cannot be: %v", err)
	}
	s.plan.Dir = dir
	status := s.status()
	if !status.Overdue || status.Failed.Problem == "" || len(status.Files) != 1 || status.Last.File == "" {
		t.Errorf("after it: %+v", status)
	}
	task, wanted, err := s.Task()
	if err != nil || !wanted || !strings.Contains(task.Reason, "2026-03-01") || !strings.Contains(task.Reason, "failed") {
		t.Errorf("the task is %+v, %v (%v)", task, wanted, err)
	}
}

// A copy that is not what the journal says is not kept.
func TestADamagedCopyIsNotKept(t *testing.T) {
	s := newShop(t, daily)
	s.Keeper.journal = damaged{s.Keeper.journal}
	b, err := s.BackUp()
	if err == nil || b.Problem == "" {
		t.Errorf("kept is %+v (%v)", b, err)
	}
	if files := s.status().Files; len(files) != 0 {
		t.Errorf("in the folder are %+v", files)
	}
}

// damaged is a journal whose copies have a page overwritten.
type damaged struct{ journal.Journal }

func (d damaged) Backup(w io.Writer) error {
	return d.Journal.Backup(&spoiler{out: w})
}

type spoiler struct {
	out io.Writer
}

func (s *spoiler) Write(p []byte) (int, error) {
	spoilt := append([]byte(nil), p...)
	for i := range spoilt {
		if spoilt[i] == 'l' { // the loft
			spoilt[i] = 'L'
		}
	}
	return s.out.Write(spoilt)
}

func TestWhenABackupIsDue(t *testing.T) {
	at := func(text string) time.Time {
		if text == "" {
			return time.Time{}
		}
		when, err := time.Parse("2006-01-02 15:04", text)
		if err != nil {
			t.Fatal(err)
		}
		return when
	}
	for _, c := range []struct {
		now, good, tried string
		due              bool
	}{
		{"2026-03-01 12:00", "", "", true},
		{"2026-03-01 02:59", "2026-02-28 03:00", "2026-02-28 03:00", false},
		{"2026-03-01 03:00", "2026-02-28 03:00", "2026-02-28 03:00", true},
		{"2026-03-01 12:00", "2026-03-01 03:01", "2026-03-01 03:01", false},
		{"2026-03-01 12:00", "2026-02-28 18:00", "2026-02-28 18:00", true},  // by hand the evening before
		{"2026-03-01 03:30", "2026-02-28 03:00", "2026-03-01 03:00", false}, // failed half an hour ago
		{"2026-03-01 04:00", "2026-02-28 03:00", "2026-03-01 03:00", true},  // and is tried again
		{"2026-03-01 00:30", "", "2026-03-01 00:00", false},
	} {
		if got := daily.due(at(c.now), at(c.good), at(c.tried)); got != c.due {
			t.Errorf("at %s, good %s, tried %s: due is %v", c.now, c.good, c.tried, got)
		}
	}
	six := Plan{Every: 6 * time.Hour, At: 3 * time.Hour, Keep: 1}
	if got := six.slot(at("2026-03-01 02:00")); !got.Equal(at("2026-02-28 21:00")) {
		t.Errorf("every six hours from three, the slot before two is %s", got)
	}
	if got := six.slot(at("2026-03-01 21:00")); !got.Equal(at("2026-03-01 21:00")) {
		t.Errorf("at nine in the evening the slot is %s", got)
	}
}

// Run looks at once and at every tick, and stops when told to.
func TestRun(t *testing.T) {
	s := newShop(t, daily)
	ctx, stop := context.WithCancel(context.Background())
	ticks, ended := make(chan time.Time), make(chan struct{})
	go func() {
		defer close(ended)
		s.Run(ctx, ticks, func(err error) { t.Error(err) })
	}()
	ticks <- s.now // taken when the first look is over
	ticks <- s.now
	stop()
	<-ended
	if files := s.status().Files; len(files) != 1 {
		t.Errorf("after three looks in one hour there are %+v", files)
	}
	s.now = s.now.Add(day)
	if err := s.Tend(); err != nil {
		t.Error(err)
	}
	if files := s.status().Files; len(files) != 2 {
		t.Errorf("a day later there are %+v", files)
	}
	if _, wanted, err := s.Task(); wanted || err != nil {
		t.Errorf("something is to be done: %v", err)
	}
	s.now = s.now.Add(2*day + time.Minute)
	if task, wanted, err := s.Task(); !wanted || err != nil || task.Title != "Back up the book" {
		t.Errorf("two days later: %+v, %v, %v", task, wanted, err)
	}
}

func TestPlansThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		plan Plan
		want string
	}{
		{Plan{Every: day, Keep: 1}, "backup-dir"},
		{Plan{Dir: "d", Every: time.Minute, Keep: 1}, "backup-every"},
		{Plan{Dir: "d", Every: day, At: day, Keep: 1}, "backup-at"},
		{Plan{Dir: "d", Every: day}, "backup-keep"},
	} {
		if _, err := New(journal.NewMemory(), c.plan, time.Now); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v", c.plan, err)
		}
	}
}
