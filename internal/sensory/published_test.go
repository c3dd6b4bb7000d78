package sensory

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"example.org/croze/internal/published"
)

func whole(t *testing.T, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func decimal(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// expectLeast holds LeastRight against a printed number, or "-" where even all
// right would not do. The numbers are whole: no tolerance.
func expectLeast(t *testing.T, test Test, answers int, alpha float64, want string) {
	t.Helper()
	least, ok, err := LeastRight(test, answers, alpha)
	got := "-"
	if ok {
		got = strconv.Itoa(least)
	}
	if err != nil || got != want {
		t.Errorf("%s, %d answers, risk %v: least right %s (%v), published %s", test, answers, alpha, got, err, want)
	}
}

// FAO document V7180E, appendix A, as named in each row.
func TestTriangleTable(t *testing.T) {
	for _, row := range published.Rows(t, "triangle_min_correct.csv") {
		for _, alpha := range []string{"0.10", "0.05", "0.01", "0.001"} {
			expectLeast(t, Triangle, row.Whole(t, "n_responses"), decimal(t, alpha), row["min_correct_alpha_"+alpha])
		}
	}
}

// ISO 10399 table A.1, read in the text named in each row. In the row of 22
// the first three numbers are misprinted there (they are those of 21); the exact
// column of the row is held instead, and the misprint is shown to be one.
func TestDuoTrioTable(t *testing.T) {
	for _, row := range published.Rows(t, "duotrio_min_correct.csv") {
		answers := row.Whole(t, "n_assessors")
		exact := strings.Split(row["exact_binomial_p0.5"], "/")
		for i, alpha := range []string{"0.20", "0.10", "0.05", "0.01", "0.001"} {
			want := row["min_correct_alpha_"+alpha]
			if answers == 22 && i < 3 {
				printed := whole(t, want)
				if p, err := PValue(DuoTrio, printed, answers); err != nil || p <= decimal(t, alpha) {
					t.Errorf("%d of 22 at %s: p is %v (%v), so the print is right after all", printed, alpha, p, err)
				}
				want = exact[i]
			}
			expectLeast(t, DuoTrio, answers, decimal(t, alpha), want)
		}
	}
}

// COMPUTED rows: exact binomial, by another program, after the principle of
// ISO 5495; the standard's own table was not seen.
func TestPairedTable(t *testing.T) {
	for _, row := range published.Rows(t, "paired_min_computed.csv") {
		for _, alpha := range []string{"0.05", "0.01", "0.001"} {
			expectLeast(t, PairedMore, row.Whole(t, "n"), decimal(t, alpha), row["one_sided_"+alpha])
			expectLeast(t, PairedEither, row.Whole(t, "n"), decimal(t, alpha), row["two_sided_"+alpha])
		}
	}
}

// A row of ISO 4120, from memory.
func TestNeededAnswersTable(t *testing.T) {
	for _, row := range published.Rows(t, "triangle_needed_answers.csv") {
		got, err := NeededAnswers(Triangle, row.Number(t, "alpha"), row.Number(t, "beta"), row.Number(t, "able_share"))
		if want := row.Whole(t, "answers"); err != nil || got != want {
			t.Errorf("%v: %d answers (%v), published %d", row, got, err, want)
		}
	}
}

// Rows of Friedman's exact table, from memory; the tolerance is half of the
// last printed digit.
func TestFriedmanTable(t *testing.T) {
	for _, row := range published.Rows(t, "friedman_tail.csv") {
		k, n := row.Whole(t, "k_samples"), row.Whole(t, "n_tasters")
		rows := rankingWith(t, k, n, row.Number(t, "statistic"))
		got, err := FriedmanTest(rows, rand.New(rand.NewPCG(1, 1)))
		if err != nil || got.Method != Exact || math.Abs(got.P-row.Number(t, "p")) > row.Number(t, "tolerance") {
			t.Errorf("%v: p %.5f, %s (%v)", row, got.P, got.Method, err)
		}
	}
}

// rankingWith draws rankings until one has a statistic (to its printed digits).
func rankingWith(t *testing.T, k, n int, statistic float64) [][]float64 {
	t.Helper()
	random := rand.New(rand.NewPCG(2, 2))
	for range 200_000 {
		rows := untiedRows(k, n, random)
		doubled, err := checkRows(rows)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(friedman(sumsOf(rows), doubled)-statistic) < 0.001 {
			return rows
		}
	}
	t.Fatalf("no ranking of %d samples by %d tasters has the statistic %v", k, n, statistic)
	return nil
}

func untiedRows(k, n int, random Random) [][]float64 {
	rows := make([][]float64, n)
	for i := range rows {
		for _, rank := range shuffled(k, random) {
			rows[i] = append(rows[i], float64(rank+1))
		}
	}
	return rows
}

// Least L of Page's table, from memory: its chance is within the risk, and that
// of one less is not.
func TestPageTable(t *testing.T) {
	for _, row := range published.Rows(t, "page_critical.csv") {
		k, n := row.Whole(t, "k_samples"), row.Whole(t, "n_tasters")
		untied := make([][]int, n)
		for i := range untied {
			for rank := range k {
				untied[i] = append(untied[i], 2*(rank+1))
			}
		}
		for _, alpha := range []float64{0.05, 0.01} {
			printed := row["least_l_alpha_"+strconv.FormatFloat(alpha, 'f', 2, 64)]
			if printed == "-" {
				continue
			}
			l := whole(t, printed)
			if at, before := pageExact(untied, 2*l), pageExact(untied, 2*(l-1)); at > alpha || before <= alpha {
				t.Errorf("%d samples, %d tasters: chance of L %d is %.4f and of %d is %.4f, risk %v", k, n, l, at, l-1, before, alpha)
			}
		}
	}
}
