package engine_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// The checks of this file hold the engine against numbers from outside the project. Each names its source beside it.

// checksPath opens a file of published check values that lies beside the repository, or where RUNG_CHECKS says.
func checksPath(t testing.TB, parts ...string) *os.File {
	t.Helper()
	dir := os.Getenv("RUNG_CHECKS")
	if dir == "" {
		dir = filepath.Join("..", "..", "shared", "checks")
	}
	f, err := os.Open(filepath.Join(append([]string{dir}, parts...)...))
	if os.IsNotExist(err) {
		t.Skipf("%s is not here: set RUNG_CHECKS to the folder of check values to run this", filepath.Join(parts...))
	}
	require.NoError(t, err)
	return f
}

// checksFile reads such a file as a table.
func checksFile(t testing.TB, parts ...string) [][]string {
	t.Helper()
	f := checksPath(t, parts...)
	defer func() { _ = f.Close() }()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	return rows
}

// oneRule is a curriculum of one behaviour with one step and one rule.
func oneRule(rules ...curriculum.Rule) *curriculum.Curriculum {
	s := &curriculum.Step{Name: "try", Levels: curriculum.LayOut(nil, curriculum.Raise{}), Rules: rules}
	return &curriculum.Curriculum{Name: "one rule", Behaviours: []*curriculum.Behaviour{{Name: "spin", Steps: []*curriculum.Step{s}}}}
}

func advance(c curriculum.Criterion) curriculum.Rule {
	return curriculum.Rule{Word: curriculum.Advance, When: c}
}

func ofLast(k, n int) curriculum.Window { return curriculum.Window{K: k, N: n} }
func ofEach(k, n int) curriculum.Window { return curriculum.Window{K: k, N: n, Each: true} }

// full is a window that must have all its trials: said with `and after n trials`.
func full(k, n int) curriculum.Criterion {
	return curriculum.And{All: []curriculum.Criterion{ofLast(k, n), curriculum.After{N: n}}}
}

func inARow(n int) curriculum.Window { return curriculum.Window{K: n, N: n, InARow: true} }

func misses(k, n int) curriculum.Window {
	return curriculum.Window{K: k, N: n, Count: curriculum.Misses}
}

func missesInARow(n int) curriculum.Window {
	return curriculum.Window{K: n, N: n, Count: curriculum.Misses, InARow: true}
}

func compiled(t testing.TB, c *curriculum.Curriculum) *engine.Program {
	t.Helper()
	p, err := engine.Compile(c)
	require.NoError(t, err)
	return p
}

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

// passedAt is the number of the trial at which a run of successes and misses is kept, 0 for never. The run's bits are
// read from the lowest.
func passedAt(p *engine.Program, run uint32, n int) int {
	f := p.NewFold()
	t := curriculum.Trial{Dog: "okapi", Behaviour: "spin", At: noon}
	for i := range n {
		t.Outcome = curriculum.Wrong
		if run>>i&1 == 1 {
			t.Outcome = curriculum.Success
		}
		if err := f.Record(&t); err != nil {
			panic(err)
		}
		t.At = t.At.Add(time.Second)
	}
	for _, m := range f.Standing(t.At).Dogs[0].Behaviours[0].Moves {
		if m.To.Kept {
			return int(m.At.Sub(noon)/time.Second) + 1
		}
	}
	return 0
}

// exhaust runs all 2^n histories of n trials through the engine, and counts those that pass by their number of
// successes. A history that has passed at a trial has passed with every continuation, so those are counted, not run.
func exhaust(p *engine.Program, n int) (bySuccesses []int, passed int) {
	bySuccesses = make([]int, n+1)
	for run := uint32(0); run < 1<<n; {
		at := passedAt(p, reversed(run, n), n)
		if at == 0 {
			run++
			continue
		}
		rest := n - at // trials still open; run counts them up
		head := run >> rest
		for tail := uint32(0); tail < 1<<rest; tail++ {
			bySuccesses[ones(head<<rest|tail)]++
			passed++
		}
		run = (head + 1) << rest
	}
	return bySuccesses, passed
}

// reversed puts the first trial into the lowest bit.
func reversed(run uint32, n int) (out uint32) {
	for i := range n {
		out |= run >> i & 1 << (n - 1 - i)
	}
	return out
}

func ones(x uint32) (n int) {
	for ; x > 0; x &= x - 1 {
		n++
	}
	return n
}

// Numbers of 0-1 sequences of length N in which some n consecutive terms hold k ones, or the beginning does: for p = 1/2
// the chance times 2^N. Counted by brute force and by an exact chain, which agree; as objects, k-within-consecutive-n
// systems (W. S. Griffith 1986) and discrete scan statistics (J. I. Naus, JASA 77:177-183, 1982). 520 of 1024 for three
// in a row within ten is de Moivre's old example (The Doctrine of Chances).
func TestAllHistoriesOfAWindowPassAsOftenAsCombinatoricsSays(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ k, n, length, passing int }{
		{2, 3, 5, 23}, {3, 3, 5, 8}, {3, 4, 5, 13}, {4, 5, 5, 6}, {5, 5, 5, 1},
		{2, 3, 10, 964}, {3, 3, 10, 520}, {3, 4, 10, 739}, {4, 5, 10, 463}, {5, 5, 10, 112}, {8, 10, 10, 56}, {9, 10, 10, 11},
		{2, 3, 20, 1045831}, {3, 4, 20, 986085},
		{4, 5, 20, 792642}, {3, 3, 20, 825259}, {5, 5, 20, 262008}, {8, 10, 20, 206772}, {9, 10, 20, 53247}, {16, 20, 20, 6196}, {18, 20, 20, 211},
	} {
		usual := c.length < 20 || c.k == 4
		if (!usual || c.length == 20 && (underRace || testing.Short())) && os.Getenv("RUNG_LONG") == "" {
			continue // some seconds each; RUNG_LONG=1 runs them
		}
		t.Run(fmt.Sprintf("%d of last %d within %d trials", c.k, c.n, c.length), func(t *testing.T) {
			_, passed := exhaust(compiled(t, oneRule(advance(ofLast(c.k, c.n)))), c.length)
			require.Equal(t, c.passing, passed)
			if c.k == c.n && c.length <= 10 {
				_, passed = exhaust(compiled(t, oneRule(advance(inARow(c.n)))), c.length)
				require.Equal(t, c.passing, passed, "written as %d in a row", c.n)
			}
		})
	}
}

// Feller, An Introduction to Probability Theory and Its Applications, vol. 1, XIII.7 (success runs): no run of 2 in n fair
// tosses has chance 0.75, 0.625, 0.5, 0.40625 for n = 2, 3, 4, 5. Ten tosses without two successes side by side: 144 ways,
// a Fibonacci number. A run of 5 within 10 fair trials: 0.109375; three in a row within 10: 65/128. Coefficients for 4 of
// the last 5 within 10 by number of successes, and binomial upper tails for one block: recomputed exactly.
func TestSuccessRunsAndBlocksHaveTheirTextbookChances(t *testing.T) {
	without := func(r, n int) int {
		_, passed := exhaust(compiled(t, oneRule(advance(inARow(r)))), n)
		return 1<<n - passed
	}
	for n, chance := range map[int]float64{2: 0.75, 3: 0.625, 4: 0.5, 5: 0.40625} {
		require.Equal(t, chance, float64(without(2, n))/float64(int(1)<<n))
	}
	require.Equal(t, 144, without(2, 10))
	require.Equal(t, 0.109375, 1-float64(without(5, 10))/1024)
	require.Equal(t, 65.0/128, 1-float64(without(3, 10))/1024)

	by, _ := exhaust(compiled(t, oneRule(advance(ofLast(4, 5)))), 10)
	require.Equal(t, []int{0, 0, 0, 0, 25, 102, 160, 120, 45, 10, 1}, by)

	for _, b := range []struct {
		k, n   int
		p      float64
		chance float64
	}{{4, 5, .5, .1875}, {4, 5, .8, .73728}, {4, 5, .9, .91854}, {8, 10, .5, 0.0546875}, {8, 10, .8, 0.6777995264}, {9, 10, .9, 0.7360989291}} {
		by, _ := exhaust(compiled(t, oneRule(advance(ofEach(b.k, b.n)))), b.n)
		require.InDelta(t, b.chance, chanceOf(by, b.p), 1e-9, "%d of each %d", b.k, b.n)
	}
}

// chanceOf is the chance of what was counted, for independent trials with success rate p.
func chanceOf(bySuccesses []int, p float64) (sum float64) {
	n := len(bySuccesses) - 1
	for s, ways := range bySuccesses {
		sum += float64(ways) * math.Pow(p, float64(s)) * math.Pow(1-p, float64(n-s))
	}
	return sum
}

// kofn_counts.csv and kofn_prob.csv: exact counts by number of successes, and the chances made of them for seven rates,
// each worked out three ways that agree (sources above).
func TestCountsAndChancesAgreeWithTheTables(t *testing.T) {
	counts := checksFile(t, "kofn_counts.csv")
	probs := checksFile(t, "kofn_prob.csv")
	num := func(s string) int {
		n, err := strconv.Atoi(s)
		require.NoError(t, err)
		return n
	}
	checked := 0
	for _, row := range counts[1:] {
		k, n, length := num(row[0]), num(row[1]), num(row[2])
		if length > 14 {
			continue
		}
		by, passed := exhaust(compiled(t, oneRule(advance(ofLast(k, n)))), length)
		require.Equal(t, row[3], fmt.Sprint(passed))
		require.Equal(t, row[5], strings.Trim(strings.ReplaceAll(fmt.Sprint(by), " ", ";"), "[]"), "%d of last %d within %d", k, n, length)
		for _, pr := range probs[1:] {
			if pr[0] == row[0] && pr[1] == row[1] && pr[3] == row[2] {
				p, err := strconv.ParseFloat(pr[2], 64)
				require.NoError(t, err)
				want, err := strconv.ParseFloat(pr[4], 64)
				require.NoError(t, err)
				require.InDelta(t, want, chanceOf(by, p), 1e-9)
				checked++
			}
		}
	}
	require.Positive(t, checked)
}

// Thirty dogs, 25 trials each (R. L. Solomon and L. C. Wynne, Psychological Monographs 67(4), 1953), as shipped with the
// examples to Gelman and Hill 2007 (github.com/stan-dev/example-models, ARM/Ch.24/dogs.dat); + is an avoidance. An old
// experiment with shocks, used here only as numbers.
const thirtyDogs = `
--+-+-+++++++++++++++++++
-------+------+++++++++++
-----++-++--++-+-++++++++
-++--++++-+-+-+++++++++++
--------+++++++++++++++++
------++++--+-+++++++++++
-----+------+++++++++++++
-------++--++++++++++++++
-----+-+-++-+---+++++-++-
----+--++-+-+++++++++++++
----------++++++-++++++++
-----+++++--+++++++++++++
---++-+--++++++++++++++++
----+-++-++++++++++++++++
---+-++-+++++++++++++++++
-------++++++++++++++++++
-+-+---+-++++-+++++++++++
----+-+-+++++++++++++++++
-+----+---+++++++++++++++
----++-+-++-+-+++++++++++
---+++++-++++++++++++++++
--+-+-++++++++++--+++++++
-------++++++++++++++++++
--------+++-+---++-++++++
------+-++++-+-++++++++++
--+-+++-++-++++++++++++++
----+-+++++++++++++++++++
---+-+-+++-+-++++++++++++
----++--+++-+-+-+-+++++++
----++++++-+-++++++++++++
`

// First trial at which 4 of the last 5 were successes, dog by dog: worked out from the table above by a script that
// shares no code with the engine.
var fourOfFive = []int{9, 18, 10, 9, 12, 10, 16, 15, 20, 15, 14, 9, 13, 11, 10, 11, 12, 11, 14, 17, 7, 9, 11, 13, 11, 7, 9, 10, 13, 8}

func TestThirtyRealDogsReachFourOfFiveWhenTheyShould(t *testing.T) {
	dogs := strings.Fields(thirtyDogs)
	require.Len(t, dogs, 30)
	p := compiled(t, oneRule(advance(ofLast(4, 5))))
	sum := 0
	for i, tally := range dogs {
		at := firstAt(t, p, tally)
		require.Equal(t, fourOfFive[i], at, "dog %d", i+1)
		sum += at
	}
	require.Equal(t, 354, sum)
	// Trials before the first run of four avoidances: mean 9.70 (R. R. Bush and F. Mosteller, Stochastic Models for Learning,
	// 1955, ch. 11, as remembered; 291 in all by the table above), so the rule holds four trials later
	four := compiled(t, oneRule(advance(inARow(4))))
	sum = 0
	for _, tally := range dogs {
		sum += firstAt(t, four, tally) - 4
	}
	require.Equal(t, 291, sum)
	// sums of first trials and numbers of dogs that get there at all
	for _, c := range []struct {
		is        curriculum.Window
		dogs, sum int
	}{{inARow(3), 30, 347}, {ofLast(3, 3), 30, 347}, {inARow(5), 30, 470}, {ofLast(8, 10), 29, 491}, {ofLast(9, 10), 27, 506}, {ofLast(16, 20), 23, 526}, {ofLast(18, 20), 11, 261}} {
		p := compiled(t, oneRule(advance(c.is)))
		got, sum := 0, 0
		for _, tally := range dogs {
			if at := firstAt(t, p, tally); at > 0 {
				got++
				sum += at
			}
		}
		require.Equal(t, c.dogs, got, curriculum.CriterionText(c.is))
		require.Equal(t, c.sum, sum, curriculum.CriterionText(c.is))
	}
}

// firstAt folds a tally and says at which trial the behaviour was kept.
func firstAt(t testing.TB, p *engine.Program, tally string) int {
	var run uint32
	for i, m := range tally {
		if m == '+' {
			run |= 1 << i
		}
	}
	return passedAt(p, run, len(tally))
}

func TestThirtyRealDogsAgreeWithTheExpectedTables(t *testing.T) {
	dogs := strings.Fields(thirtyDogs)
	own := checksFile(t, "open-data", "solomon_wynne", "expected.csv")
	generic := checksFile(t, "open-data", "solomon_wynne", "generic_expected.csv")
	rules := map[string]curriculum.Criterion{
		"3_in_a_row": inARow(3), "4_in_a_row_at": inARow(4), "5_in_a_row": inARow(5), "10_in_a_row": inARow(10), "10_in_a_row_at": inARow(10),
		"4_of_5_partial": ofLast(4, 5), "4_of_6_partial": ofLast(4, 6), "17_of_20_partial": ofLast(17, 20),
		"4_of_5_full": full(4, 5), "8_of_10_full": full(8, 10), "8_of_10_full_at": full(8, 10), "9_of_10_full": full(9, 10), "9_of_10_full_at": full(9, 10), "17_of_20_full": full(17, 20),
		"8_of_10_partial": ofLast(8, 10), "8_of_10_partial_at": ofLast(8, 10),
	}
	programs := map[string]*engine.Program{}
	for name, c := range rules {
		programs[name] = compiled(t, oneRule(advance(c)))
	}
	checked := map[string]int{}
	check := func(dog, rule, want string) {
		p := programs[rule]
		if p == nil {
			return
		}
		i, err := strconv.Atoi(strings.TrimPrefix(dog, "dog-"))
		require.NoError(t, err)
		got := ""
		if at := firstAt(t, p, dogs[i-1]); at > 0 {
			got = fmt.Sprint(at)
		}
		require.Equal(t, want, got, "%s, %s", dog, rule)
		checked[rule]++
	}
	for _, row := range own[1:] {
		for col, name := range own[0] {
			check(row[0], name, row[col])
		}
	}
	for _, row := range generic[1:] {
		check(row[0], row[2], row[5])
	}
	for name := range rules {
		require.GreaterOrEqual(t, checked[name], 30, name)
	}
}
