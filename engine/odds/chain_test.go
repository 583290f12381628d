package odds_test

import (
	"encoding/csv"
	"math"
	"math/bits"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/rung/engine/odds"
)

// windowShape is "k of the last n" by bit masks: letter 0 is a miss, letter 1 a success, end 0 comes when k of the last n
// are successes. With small set, successes too old to be among k any more are forgotten: as few states as possible.
func windowShape(k, n int, small bool) *odds.Shape {
	s := odds.NewShape(2, 1)
	number := map[uint32]int{}
	var masks []uint32
	find := func(m uint32) int {
		if small {
			for rest, i := m, 1; rest != 0; rest, i = rest&(rest-1), i+1 {
				if bits.TrailingZeros32(rest)+k-i > n-1 {
					m &^= rest
					break
				}
			}
		}
		if i, ok := number[m]; ok {
			return i
		}
		number[m] = len(masks)
		masks = append(masks, m)
		return number[m]
	}
	find(0)
	for i := 0; i < len(masks); i++ {
		miss := masks[i] << 1 & (1<<n - 1)
		hit := miss | 1
		arcs := []odds.Arc{{Letter: 0, To: find(miss)}, {Letter: 1, To: odds.End(0)}}
		if bits.OnesCount32(hit) < k {
			arcs[1].To = find(hit)
		}
		s.Add(arcs...)
	}
	return s
}

func timesOf(t testing.TB, s *odds.Shape, chance ...float64) odds.Times {
	t.Helper()
	c, err := s.With(chance)
	require.NoError(t, err)
	x, err := c.Times()
	require.NoError(t, err)
	require.Less(t, x.Residual, 1e-15)
	return x
}

func byOf(t testing.TB, s *odds.Shape, n int, chance ...float64) float64 {
	t.Helper()
	c, err := s.With(chance)
	require.NoError(t, err)
	return c.By(n)[0]
}

// near holds got against a value that is given to so many digits.
func near(t testing.TB, want, got, relative float64, about ...any) {
	t.Helper()
	require.InDelta(t, want, got, relative*math.Abs(want), about...)
}

// checksFile reads a table of published check values that lies beside the repository, or where RUNG_CHECKS says.
func checksFile(t testing.TB, name string) [][]string {
	t.Helper()
	dir := os.Getenv("RUNG_CHECKS")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "checks")
	}
	f, err := os.Open(filepath.Join(dir, name))
	if os.IsNotExist(err) {
		t.Skipf("%s is not here: set RUNG_CHECKS to the folder of check values to run this", name)
	}
	require.NoError(t, err)
	defer func() { _ = f.Close() }()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

func number(t testing.TB, s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// W. Feller, An Introduction to Probability Theory and Its Applications, vol. 1, XIII.7: a run of r successes takes
// (1-p^r)/(q p^r) trials on average, with variance 1/(q p^r)^2 - (2r+1)/(q p^r) - p/q^2. The table runs_mean_var.csv holds
// both, and the mean as a fraction, from the formulas and from an exact chain, which agree.
func TestRunsOfSuccessesTakeAsLongAsFellerSays(t *testing.T) {
	for p := .05; p < .99; p += .05 {
		for r := 1; r <= 12; r++ {
			x := timesOf(t, windowShape(r, r, true), 1-p, p)
			q, pr := 1-p, math.Pow(p, float64(r))
			near(t, (1-pr)/(q*pr), x.Mean, 1e-12, "r %d, p %v", r, p)
			variance := 1/(q*pr*q*pr) - float64(2*r+1)/(q*pr) - p/(q*q)
			near(t, variance, x.SD*x.SD, 1e-8, "r %d, p %v", r, p) // the formula itself loses digits
		}
	}
	for _, row := range checksFile(t, "runs_mean_var.csv") {
		p, r := number(t, row[0]), int(number(t, row[1]))
		x := timesOf(t, windowShape(r, r, true), 1-p, p)
		near(t, number(t, row[2]), x.Mean, 2e-9, "%v", row)
		near(t, number(t, row[3]), x.SD*x.SD, 2e-9, "%v", row)
		if a, b, ok := strings.Cut(row[4], "/"); ok {
			near(t, number(t, a)/number(t, b), x.Mean, 1e-12, "%v", row)
		}
	}
}

// Single values that textbooks and discussions print, all recomputed by an exact chain. 65/128 is de Moivre's worked case
// (The Doctrine of Chances); without a run of 2 in n fair tosses: Feller's small table; twenty heads in a row within a
// million tosses: published discussion, "around 37.9 %"; six of the same side in 200 tosses: M. F. Schilling, College
// Math. J. 21:196, 1990, quotes 0.965.
func TestChancesOfRunsAgreeWithPrintedOnes(t *testing.T) {
	near(t, 65.0/128, byOf(t, windowShape(3, 3, true), 10, .5, .5), 1e-15)
	for n, want := range map[int]float64{2: .75, 3: .625, 4: .5, 5: .40625} {
		near(t, want, 1-byOf(t, windowShape(2, 2, true), n, .5, .5), 1e-15)
	}
	for p, want := range map[float64]float64{.5: .109375, .8: .65536, .9: .885735} {
		near(t, want, byOf(t, windowShape(5, 5, true), 10, 1-p, p), 1e-14)
	}
	for p, want := range map[float64]float64{.9: .9765888059, .95: .9990715757} {
		near(t, want, byOf(t, windowShape(10, 10, true), 50, 1-p, p), 1e-10)
	}
	near(t, .3792539614, byOf(t, windowShape(20, 20, true), 1_000_000, .5, .5), 1e-9)
	near(t, .5460936192, byOf(t, windowShape(6, 6, true), 100, .5, .5), 1e-9)

	same := odds.NewShape(2, 1) // letter 0: as before, letter 1: the other side; the first toss begins a run of one
	for run := range 6 {
		again, other := run+1, 1
		if run == 0 {
			other = 1
		}
		arc := odds.Arc{Letter: 0, To: again}
		if again == 6 {
			arc.To = odds.End(0)
		}
		same.Add(arc, odds.Arc{Letter: 1, To: other})
	}
	near(t, .9653128011, byOf(t, same, 200, .5, .5), 1e-9)
}

// J. I. Naus, JASA 77:177-183, 1982; J. C. Fu, J. Appl. Probab. 38:908-916, 2001 (finite Markov chain embedding). The
// values of kofn_prob.csv and kofn_expected.csv were worked out three ways each (exact chain, all 2^N sequences, bit
// masks), which agree. "Full" means that the window must have all its trials: the same from the n-th trial on, and
// T = max(T, n) before.
func TestWindowsTakeAsLongAsTheTablesSay(t *testing.T) {
	for _, row := range checksFile(t, "kofn_prob.csv") {
		k, n, p := int(number(t, row[0])), int(number(t, row[1])), number(t, row[2])
		got := byOf(t, windowShape(k, n, true), int(number(t, row[3])), 1-p, p)
		require.InDelta(t, number(t, row[4]), got, 1e-10, "%v", row)
		// the chance is a sum of as many terms as there are trials, each rounded to a double
		require.InDelta(t, number(t, row[5]), 1-got, 1e-9*number(t, row[5])+number(t, row[3])*0x1p-52, "%v", row)
	}
	for _, row := range checksFile(t, "kofn_expected.csv") {
		k, n, p := int(number(t, row[0])), int(number(t, row[1])), number(t, row[2])
		s := windowShape(k, n, true)
		early := timesOf(t, s, 1-p, p).Mean
		near(t, number(t, row[3]), early, 2e-9, "%v", row)
		c, err := s.With([]float64{1 - p, p})
		require.NoError(t, err)
		full := early // + E[n - T; T < n]
		c.Walk(n-1, func(trial int, ends []float64) bool { full += ends[0]; return true })
		near(t, number(t, row[4]), full, 2e-9, "%v", row)
	}
}

// The means as exact fractions; for two of the last m, M. V. Koutras (Ann. Inst. Statist. Math. 48:789-806, 1996) gives
// (2-q^(m-1)) / (p (1-q^(m-1))).
func TestWindowsTakeExactlyThoseFractions(t *testing.T) {
	for _, c := range []struct {
		k, n     int
		p        float64
		num, den float64
	}{
		{2, 3, .5, 14, 3}, {2, 3, .9, 1990, 891}, {3, 4, .5, 114, 13}, {3, 4, .8, 38205, 9664},
		{4, 5, .5, 2122, 137}, {4, 5, .8, 30995245, 5636096}, {4, 5, .9, 35877831490, 7880292441},
		{9, 10, .5, 71648105131846, 284423827487}, {2, 3, .1, 1190, 19},
	} {
		near(t, c.num/c.den, timesOf(t, windowShape(c.k, c.n, true), 1-c.p, c.p).Mean, 1e-13, "%v", c)
		near(t, c.num/c.den, timesOf(t, windowShape(c.k, c.n, false), 1-c.p, c.p).Mean, 1e-13, "%v by plain masks", c)
	}
	for m := 2; m <= 9; m++ {
		for _, p := range []float64{.1, .35, .6, .9} {
			q := math.Pow(1-p, float64(m-1))
			near(t, (2-q)/(p*(1-q)), timesOf(t, windowShape(2, m, true), 1-p, p).Mean, 1e-13)
		}
	}
}

// Expected run lengths of control charts are exactly such waiting times. C. W. Champ and W. H. Woodall, Technometrics
// 29:393-399, 1987, print 370.40, 225.44, 166.05, 152.73 for the zone rules one by one with the first, and 91.75 for all
// four (quoted by the NIST/SEMATECH e-Handbook, 6.3.2). The sides are letters of their own here, so that several windows
// race. One-sided single rules: recomputed exactly.
func TestRunsRulesOfControlChartsHaveTheirPublishedRunLengths(t *testing.T) {
	above := distuv.UnitNormal.Survival
	near(t, 582.569600, timesOf(t, windowShape(4, 5, true), 1-above(1), above(1)).Mean, 1e-9)
	near(t, 1021.126869, timesOf(t, windowShape(2, 3, true), 1-above(2), above(2)).Mean, 1e-9)
	near(t, 510, timesOf(t, windowShape(8, 8, true), .5, .5).Mean, 1e-13)
	for _, c := range []struct {
		rules          [4]bool // beyond 3 sigma; 2 of 3 beyond 2; 4 of 5 beyond 1; 8 on one side
		printed, exact float64
	}{
		{[4]bool{true, false, false, false}, 370.40, 370.398347}, {[4]bool{true, true, false, false}, 225.44, 225.438407},
		{[4]bool{true, false, true, false}, 166.05, 166.054517}, {[4]bool{true, false, false, true}, 152.73, 152.730065},
		{[4]bool{true, true, true, false}, 132.89, 132.892811}, {[4]bool{true, true, false, true}, 122.05, 122.050772},
		{[4]bool{true, false, true, true}, 105.78, 105.783065}, {[4]bool{true, true, true, true}, 91.75, 91.750773},
	} {
		s, zones := chartShape(c.rules), []float64{above(0) - above(1), above(1) - above(2), above(2) - above(3), above(3)}
		x := timesOf(t, s, append(zones, zones...)...)
		require.InDelta(t, c.printed, x.Mean, .005, "%v", c.rules)
		near(t, c.exact, x.Mean, 5e-9, "%v", c.rules)
	}
}

// chartShape races the zone rules: letters 0..3 are the zones above the centre, 4..7 those below.
func chartShape(rules [4]bool) *odds.Shape {
	s := odds.NewShape(8, 1)
	type seen struct{ two, one, side uint8 } // newest in the lowest bit: beyond 2, beyond 1, on that side
	number := map[[2]seen]int{{}: 0}
	states := [][2]seen{{}}
	for i := 0; i < len(states); i++ {
		var arcs []odds.Arc
		for letter := range 8 {
			zone, side := letter%4, letter/4
			next, over := states[i], rules[0] && zone == 3
			for sd := range 2 {
				n := &next[sd]
				at := uint8(0)
				if sd == side {
					at = 1
				}
				if rules[1] {
					n.two = n.two<<1&3 | at&b2u(zone >= 2)
					over = over || bits.OnesCount8(states[i][sd].two<<1&7|at&b2u(zone >= 2)) >= 2
				}
				if rules[2] {
					n.one = n.one<<1&15 | at&b2u(zone >= 1)
					over = over || bits.OnesCount8(states[i][sd].one<<1&31|at&b2u(zone >= 1)) >= 4
				}
				if rules[3] {
					if n.side = (n.side + 1) * at; n.side >= 8 {
						over = true
					}
				}
			}
			to := odds.End(0)
			if !over {
				known, ok := number[next]
				if !ok {
					known = len(states)
					number[next] = known
					states = append(states, next)
				}
				to = known
			}
			arcs = append(arcs, odds.Arc{Letter: letter, To: to})
		}
		s.Add(arcs...)
	}
	return s
}

func b2u(b bool) uint8 {
	if b {
		return 1
	}
	return 0
}

// The same systems, solved by the dense solver of another library.
func TestTimesAgreeWithADenseSolverOfAnotherLibrary(t *testing.T) {
	for _, c := range [][2]int{{3, 5}, {5, 6}, {6, 9}, {8, 10}} {
		for _, p := range []float64{.35, .6, .85} {
			x := timesOf(t, windowShape(c[0], c[1], true), 1-p, p)
			near(t, denseMean(t, windowMatrix(c[0], c[1], p)), x.Mean, 1e-10, "%v at %v", c, p)
		}
	}
}

// windowMatrix is I - Q of "k of the last n" over plain bit masks.
func windowMatrix(k, n int, p float64) *mat.Dense {
	var masks []uint32
	number := map[uint32]int{}
	for m := range uint32(1 << n) {
		if bits.OnesCount32(m) < k {
			number[m] = len(masks)
			masks = append(masks, m)
		}
	}
	a := mat.NewDense(len(masks), len(masks), nil)
	for i, m := range masks {
		a.Set(i, i, 1)
		miss := m << 1 & (1<<n - 1)
		a.Set(i, number[miss], a.At(i, number[miss])-(1-p))
		if j, ok := number[miss|1]; ok {
			a.Set(i, j, a.At(i, j)-p)
		}
	}
	return a
}

func denseMean(t testing.TB, a *mat.Dense) float64 {
	n, _ := a.Dims()
	ones := mat.NewVecDense(n, nil)
	for i := range n {
		ones.SetVec(i, 1)
	}
	var m mat.VecDense
	require.NoError(t, m.SolveVec(a, ones))
	return m.AtVec(0)
}

func TestAWalkThatMayGoOnForEverSaysSo(t *testing.T) {
	s := odds.NewShape(2, 1)
	s.Add(odds.Arc{Letter: 0, To: 1}, odds.Arc{Letter: 1, To: odds.End(0)})
	s.Add(odds.Arc{Letter: 0, To: 1}, odds.Arc{Letter: 1, To: 1})
	x := timesOf(t, s, .25, .75)
	require.True(t, math.IsInf(x.Mean, 1))
	require.Equal(t, .25, x.Never)
	require.Equal(t, odds.EndTimes{Chance: .75, Mean: 1}, x.Ends[0])

	x = timesOf(t, windowShape(2, 3, true), 1, 0) // a dog that never succeeds
	require.Equal(t, 1.0, x.Never)
	x = timesOf(t, windowShape(4, 5, true), 0, 1) // and one that always does
	require.Equal(t, 4.0, x.Mean)
	require.Zero(t, x.SD)
}

func TestFaultyShapesAreRefused(t *testing.T) {
	for name, s := range map[string]*odds.Shape{
		"nothing in it":    odds.NewShape(1, 1),
		"an arc to no end": addTo(odds.NewShape(1, 1), odds.Arc{Letter: 0, To: odds.End(1)}),
		"no such state":    addTo(odds.NewShape(1, 1), odds.Arc{Letter: 0, To: 1}),
		"no such letter":   addTo(odds.NewShape(1, 1), odds.Arc{Letter: 1, To: 0}),
		"half a chance":    addTo(odds.NewShape(1, 1)),
	} {
		_, err := s.With([]float64{1})
		require.Error(t, err, name)
	}
	s := addTo(odds.NewShape(1, 1), odds.Arc{Letter: 0, To: odds.End(0)})
	for _, chance := range [][]float64{nil, {1, 0}, {math.NaN()}, {-1}, {2}, {.5}} {
		_, err := s.With(chance)
		require.Error(t, err, "%v", chance)
	}
}

func addTo(s *odds.Shape, arcs ...odds.Arc) *odds.Shape {
	s.Add(arcs...)
	return s
}
