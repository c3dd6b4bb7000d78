package cellar

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
)

var modelSeed = flag.Uint64("model.seed", 0, "seed of the random histories; 0: a new one")

const (
	modelStories = 240
	modelSteps   = 120 // in each, 28 800 in all
)

// Random histories of a small store, held against a naive model: over all
// accounts nothing is left over, no content is below nothing, parts add up,
// taking back is exact, the live projection is the fold, the order of writing
// does not matter, and a refused entry leaves no trace.
func TestRandomHistories(t *testing.T) {
	seed := *modelSeed
	if seed == 0 {
		seed = rand.Uint64()
	}
	t.Logf("to run the same again: go test ./internal/cellar -run TestRandomHistories -model.seed=%d", seed)
	taken := make(map[string]int)
	joinedStories := 0
	for i := range modelStories {
		m := &modelRun{t: t, ops: newOperations(seed + uint64(i)), live: NewState(), taken: taken}
		m.run()
		if m.joined {
			joinedStories++
		}
		if t.Failed() {
			t.Fatalf("history %d of seed %d, after %d steps", i, seed, m.ops.step)
		}
	}
	t.Logf("entries taken: %v; %d histories with joined parts", taken, joinedStories)
	for kind := range newFact {
		if taken[kind] < 20 {
			t.Errorf("only %d of kind %s were taken: the test has become empty", taken[kind], kind)
		}
	}
	if joinedStories > modelStories/2 {
		t.Errorf("parts were joined in %d of %d histories: ages are hardly tried", joinedStories, modelStories)
	}
}

// modelRun is one random history.
type modelRun struct {
	t       *testing.T
	ops     *operations
	live    *State
	entries []Entry
	bodies  [][]byte
	moved   []Movement // copies of what the live state moved since it was last folded
	taken   map[string]int
	joined  bool
}

func (m *modelRun) run() {
	for range modelSteps {
		m.step()
		if m.t.Failed() {
			return
		}
	}
	m.compareWithNaive()
	m.shuffle()
	m.replayFromJournal()
}

// step tries one random entry, and the void of some that were taken.
func (m *modelRun) step() {
	when := m.ops.when()
	state := m.live
	if when.Before(m.live.LastAt()) {
		state = m.fold(m.entries, when)
	}
	fact := m.fact(when, state)
	if fact == nil {
		return
	}
	if !m.record(when, fact) || m.ops.IntN(12) > 0 {
		return
	}
	if _, ok := fact.(*Void); ok || m.t.Failed() {
		return
	}
	was, is := plain(m.fold(m.entries[:len(m.entries)-1], time.Time{})), plain(m.live)
	m.undo(was)
	m.undo(is)
}

// undo takes the last entry back and wants the state that was before it.
func (m *modelRun) undo(want plainState) {
	e := m.entries[len(m.entries)-1]
	if !m.record(e.RecordedAt, &Void{Entry: e.ID, Reason: "slip"}) {
		m.t.Errorf("the void of the last entry (%s) was refused", e.Fact.Kind())
		return
	}
	if got := plain(m.live); !reflect.DeepEqual(got, want) {
		m.t.Errorf("the void of %s did not bring back what was before", e.Fact.Kind())
	}
}

func (m *modelRun) fact(when time.Time, state *State) Fact {
	if m.ops.IntN(15) == 0 || m.ops.step < 20 {
		return m.ops.registration(state)
	}
	if fact := m.ops.aboutPeriods(when, state); fact != nil {
		return fact
	}
	fact, _, err := Resolver{State: state, Now: when}.Resolve(m.ops.request(when, state, m.entries))
	if err != nil {
		if KindOf(err) == "" {
			m.t.Errorf("%v is no Problem", err)
		}
		return nil
	}
	return fact
}

func (m *modelRun) fold(entries []Entry, until time.Time) *State {
	m.t.Helper()
	s, err := Fold(entries, until)
	if err != nil {
		m.t.Errorf("a history that was taken does not fold: %v", err)
		return NewState()
	}
	return s
}

// record tries an entry as the book does, and holds everything to the invariants.
func (m *modelRun) record(when time.Time, fact Fact) bool {
	seq := len(m.entries) + 1
	e := Entry{Seq: uint64(seq), ID: fmt.Sprintf("E%d.%d", seq, m.ops.step), RecordedAt: when, HappenedAt: when, Fact: fact}
	body, err := json.Marshal(fact)
	if err != nil {
		m.t.Errorf("%s cannot be written: %v", fact.Kind(), err)
		return false
	}
	took := m.try(e)
	if took {
		m.entries, m.bodies = append(m.entries, e), append(m.bodies, body)
		m.taken[fact.Kind()]++
	}
	m.check()
	return took
}

func (m *modelRun) try(e Entry) bool {
	if !m.live.Follows(e) {
		next, err := Fold(append(slices.Clip(m.entries), e), time.Time{})
		if err == nil {
			m.sameMovements()
			m.live, m.moved = next, nil
		}
		return err == nil
	}
	before := m.live
	if m.ops.IntN(2) == 0 {
		m.live = before.Copy()
		defer func() {
			if !reflect.DeepEqual(before, m.fold(m.entries, time.Time{})) {
				m.t.Errorf("%s changed the state that its own is a copy of", e.Fact.Kind())
			}
		}()
	}
	tested, extended := m.live.Test(e), m.live.Extend(e)
	if (tested == nil) != (extended == nil) {
		m.t.Errorf("the trial says %v, the entry %v", tested, extended)
	}
	return extended == nil
}

// check holds the live state to the invariants and to a fold from scratch,
// which a refused entry that left a trace would differ from.
func (m *modelRun) check() {
	m.t.Helper()
	if err := m.live.Check(); err != nil {
		m.t.Error(err)
	}
	if folded := m.fold(m.entries, time.Time{}); !reflect.DeepEqual(m.live, folded) {
		m.t.Errorf("the live state is not the fold of its %d entries", len(m.entries))
	}
	for _, mv := range m.live.Movements[len(m.moved):] {
		mv.Parts = slices.Clone(mv.Parts)
		for i := range mv.Parts {
			mv.Parts[i].Wood = slices.Clone(mv.Parts[i].Wood)
		}
		m.moved = append(m.moved, mv)
	}
	if m.ops.step%10 == 0 {
		m.compareWithNaive()
	}
}

// sameMovements says that what came later did not change, by a shared slice,
// what was moved before.
func (m *modelRun) sameMovements() {
	if !reflect.DeepEqual(m.moved, slices.Clone(m.live.Movements)) && len(m.moved)+len(m.live.Movements) > 0 {
		m.t.Error("movements were changed after they were made")
	}
}

func (m *modelRun) compareWithNaive() {
	m.sameMovements()
	n := runNaive(m.entries, m.live)
	if n.most >= MostParts {
		m.joined = true
	}
	for _, a := range []Account{Angels, Handling, Unexplained} {
		n.add(lost, m.live.Balance(a).Neg())
	}
	if left := n.amount(lost); !left.IsZero() {
		m.t.Errorf("losses differ by %+v", left)
	}
	for _, a := range m.live.Accounts() {
		if a != Angels && a != Handling && a != Unexplained {
			m.compareAccount(n, a)
		}
	}
	for code, v := range m.live.Vessels {
		if v.PlacedAt != n.place[code] {
			m.t.Errorf("%s stands in %q, should be %q", code, v.PlacedAt, n.place[code])
		}
	}
	for lot := range m.live.Lots {
		if n.lots[lot] != 1 {
			m.t.Errorf("lot %s was bottled %d times", lot, n.lots[lot])
		}
	}
}

// compareAccount wants the same balance to the milligram, and the same parts
// to what rounding can have moved: one milligram in each movement.
func (m *modelRun) compareAccount(n *naive, a Account) {
	got, want := m.live.Balance(a), n.amount(a)
	if got != want {
		m.t.Errorf("%s holds %+v, should be %+v", a, got, want)
		return
	}
	if !a.holds() {
		return
	}
	if got.IsNegative() {
		m.t.Errorf("%s holds %+v", a, got)
	}
	if code, ok := a.Vessel(); ok && m.live.IsEmpty(code) != got.IsZero() {
		m.t.Errorf("%s holds %+v and empty is %v", code, got, m.live.IsEmpty(code))
	}
	sums := make(map[string]float64)
	byBatch := make(map[string]float64)
	for _, p := range m.live.held(a).Parts {
		wood := make(map[string]int)
		for _, w := range p.Wood {
			wood[w.Wood] = w.Days
		}
		sums[storyOf(p.Batch, p.FirstWood, wood)] += float64(p.EthanolMg)
		byBatch[p.Batch] += float64(p.EthanolMg)
		if p.EthanolMg <= 0 {
			m.t.Errorf("%s has a part of %d mg", a, p.EthanolMg)
		}
	}
	slack := n.slack[a] + 1
	for _, p := range n.parts[a] {
		byBatch[p.batch] -= p.mg
	}
	for batch, left := range byBatch {
		if math.Abs(left) > slack*MostParts {
			m.t.Errorf("%s: %g mg of %s too many", a, left, batch)
		}
	}
	if m.joined {
		return
	}
	for story, mg := range n.stories(a) {
		sums[story] -= mg
	}
	for story, left := range sums {
		if math.Abs(left) > slack {
			m.t.Errorf("%s: %g mg too many of %s", a, left, story)
		}
	}
}

func storyOf(batch string, first Day, wood map[string]int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s since %s", batch, first)
	for _, name := range slices.Sorted(maps.Keys(wood)) {
		fmt.Fprintf(&b, ", %d in %s", wood[name], name)
	}
	return b.String()
}

// shuffle writes what stands down in another order: the state is the same.
// Only of registrations of one thing must the last stay the last.
func (m *modelRun) shuffle() {
	want := plain(m.live)
	for range 3 {
		written := slices.DeleteFunc(Standing(m.entries), func(e Entry) bool { _, void := e.Fact.(*Void); return void })
		var registered []Entry
		for _, e := range written {
			if isRegistration(e) {
				registered = append(registered, e)
			}
		}
		m.ops.Shuffle(len(written), func(i, j int) { written[i], written[j] = written[j], written[i] })
		for i := range written {
			if isRegistration(written[i]) {
				written[i], registered = registered[0], registered[1:]
			}
			written[i].Seq = uint64(i + 1)
		}
		if got := plain(m.fold(written, time.Time{})); !reflect.DeepEqual(got, want) {
			m.t.Error("written down in another order the state is another")
		}
	}
}

func isRegistration(e Entry) bool {
	_, ok := e.Fact.(definition)
	return ok
}

// replayFromJournal folds what the journal would give back.
func (m *modelRun) replayFromJournal() {
	entries := slices.Clone(m.entries)
	for i := range entries {
		fact, err := DecodeFact(entries[i].Fact.Kind(), m.bodies[i])
		if err != nil {
			m.t.Fatal(err)
		}
		entries[i].Fact = fact
	}
	if got := m.fold(entries, time.Time{}); !reflect.DeepEqual(plain(got), plain(m.live)) {
		m.t.Error("the journal gives another state")
	}
}
