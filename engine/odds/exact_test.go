package odds

import (
	"math"
	"math/big"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// exactTimes is the slow and obvious reference: the whole system in exact fractions, by Gauss and Jordan. It needs a
// chain that ends with certainty.
func exactTimes(s *Shape, chance []*big.Rat) (mean, variance *big.Rat, ends []*big.Rat) {
	n := s.States()
	rat := func(v int64) *big.Rat { return big.NewRat(v, 1) }
	solve := func(right []*big.Rat) []*big.Rat {
		a := make([][]*big.Rat, n)
		for i := range a {
			a[i] = make([]*big.Rat, n+1)
			for j := range n {
				a[i][j] = rat(0)
			}
			a[i][i] = rat(1)
			a[i][n] = new(big.Rat).Set(right[i])
			for k := s.first[i]; k < s.first[i+1]; k++ {
				if to := s.to[k]; to >= 0 {
					a[i][to] = new(big.Rat).Sub(a[i][to], chance[s.letter[k]])
				}
			}
		}
		for c := range n {
			at := c
			for a[at][c].Sign() == 0 {
				at++
			}
			a[c], a[at] = a[at], a[c]
			inv := new(big.Rat).Inv(a[c][c])
			for j := c; j <= n; j++ {
				a[c][j] = new(big.Rat).Mul(a[c][j], inv)
			}
			for i := range n {
				if f := a[i][c]; i != c && f.Sign() != 0 {
					for j := n; j >= c; j-- {
						a[i][j] = new(big.Rat).Sub(a[i][j], new(big.Rat).Mul(f, a[c][j]))
					}
				}
			}
		}
		x := make([]*big.Rat, n)
		for i := range x {
			x[i] = a[i][n]
		}
		return x
	}
	ones := make([]*big.Rat, n)
	for i := range ones {
		ones[i] = rat(1)
	}
	m := solve(ones)
	mm := solve(m)[s.start]
	mean = m[s.start]
	variance = new(big.Rat).Mul(rat(2), mm)
	variance.Sub(variance, mean).Sub(variance, new(big.Rat).Mul(mean, mean))
	for e := range s.ends {
		right := make([]*big.Rat, n)
		for i := range right {
			right[i] = rat(0)
			for k := s.first[i]; k < s.first[i+1]; k++ {
				if s.to[k] == int32(^e) {
					right[i].Add(right[i], chance[s.letter[k]])
				}
			}
		}
		ends = append(ends, solve(right)[s.start])
	}
	return mean, variance, ends
}

// drawShape is any machine of a few states in which the last letter always ends the walk.
func drawShape(t *rapid.T) (*Shape, []*big.Rat) {
	letters := rapid.IntRange(2, 4).Draw(t, "letters")
	ends := rapid.IntRange(1, 3).Draw(t, "ends")
	states := rapid.IntRange(1, 12).Draw(t, "states")
	s := NewShape(letters, ends)
	for range states {
		var arcs []Arc
		for l := range letters {
			to := rapid.IntRange(-ends, states-1).Draw(t, "to")
			if l == letters-1 {
				to = -1 - rapid.IntRange(0, ends-1).Draw(t, "end")
			}
			arcs = append(arcs, Arc{l, to})
		}
		s.Add(arcs...)
	}
	s.StartAt(rapid.IntRange(0, states-1).Draw(t, "start"))
	weights, total := make([]int64, letters), int64(0)
	for l := range weights {
		weights[l] = rapid.Int64Range(1, 1000).Draw(t, "weight")
		if l == letters-1 {
			weights[l] = rapid.Int64Range(1, 3).Draw(t, "weight of the last")
		}
		total += weights[l]
	}
	chance := make([]*big.Rat, letters)
	for l, w := range weights {
		chance[l] = big.NewRat(w, total)
	}
	return s, chance
}

func floats(r []*big.Rat) []float64 {
	out := make([]float64, len(r))
	for i, v := range r {
		out[i], _ = v.Float64()
	}
	return out
}

func TestTimesAreThoseOfExactFractions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, chance := drawShape(t)
		c, err := s.With(floats(chance))
		require.NoError(t, err)
		got, err := c.Times()
		require.NoError(t, err)
		mean, variance, ends := exactTimes(s, chance)
		want, _ := mean.Float64()
		require.InDelta(t, want, got.Mean, 1e-13*want)
		v, _ := variance.Float64()
		require.InDelta(t, v, got.SD*got.SD, 1e-12*(v+want*want))
		for e, w := range floats(ends) {
			require.InDelta(t, w, got.Ends[e].Chance, 1e-13)
		}
		require.LessOrEqual(t, got.Residual, 1e-15)
		require.Zero(t, got.Never)
	})
}

func TestTheWalkAddsUpToTheTimes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, chance := drawShape(t)
		c, err := s.With(floats(chance))
		require.NoError(t, err)
		got, err := c.Times()
		require.NoError(t, err)
		ended, means := make([]float64, s.ends), make([]float64, s.ends)
		mean, last := 0.0, 0.0
		c.Walk(60_000, func(trial int, ends []float64) bool {
			for e, v := range ends {
				means[e] += (v - ended[e]) * float64(trial)
				ended[e] = v
			}
			mean += (sum(ends) - last) * float64(trial)
			last = sum(ends)
			return last < 1-1e-15
		})
		require.InDelta(t, got.Mean, mean, 1e-7*got.Mean)
		for e := range ended {
			require.InDelta(t, got.Ends[e].Chance, ended[e], 1e-9)
			if ended[e] > 0 {
				require.InDelta(t, got.Ends[e].Mean, means[e]/ended[e], 1e-6*got.Ends[e].Mean)
			}
		}
		half := c.Quantile(.5, 60_000)
		require.GreaterOrEqual(t, sum(c.By(half)), .5-1e-9)
		require.Less(t, sum(c.By(half-1)), .5)
	})
}

// A part is the same whether its states are taken out one by one or swept. Where sweeps do not settle, and a ring of a few
// states that is hardly ever left may be such a part, it says so, and the part is eliminated.
func TestSweepingAndEliminatingAgree(t *testing.T) {
	parts, unsettled := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		s, chance := drawShape(t)
		c, err := s.With(floats(chance))
		require.NoError(t, err)
		v := newSolver(c)
		for i, p := range c.parts {
			b := make([]float64, len(p.states))
			for j := range b {
				b[j] = rapid.Float64Range(0, 1).Draw(t, "inflow")
			}
			b[0]++
			want := v.eliminate(i).run(b)
			got := v.gather(i).run(b)
			if parts++; got == nil {
				unsettled++
				continue
			}
			for j := range want {
				require.InDelta(t, want[j], got[j], 1e-11*(1+slices.Max(want)))
			}
		}
	})
	require.Less(t, 50*unsettled, parts, "of %d parts", parts)
}

// The parts of a chain are what reaches each other, in an order in which arcs lead forward only.
func TestPartsAreWhatReachesEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, chance := drawShape(t)
		c, err := s.With(floats(chance))
		require.NoError(t, err)
		n := c.states
		reach := make([]bool, n*n)
		for i := range n {
			reach[i*n+i] = true
			for a := c.first[i]; a < c.first[i+1]; a++ {
				if to := c.to[a]; to >= 0 {
					reach[i*n+int(to)] = true
				}
			}
		}
		for k := range n {
			for i := range n {
				for j := range n {
					reach[i*n+j] = reach[i*n+j] || reach[i*n+k] && reach[k*n+j]
				}
			}
		}
		for i := range n {
			for j := range n {
				require.Equal(t, reach[i*n+j] && reach[j*n+i], c.where[i] == c.where[j])
				if reach[i*n+j] {
					require.LessOrEqual(t, c.where[i], c.where[j])
				}
			}
		}
	})
}

// Nothing is subtracted: a walk that hardly ever ends is known to as many digits as a short one.
func TestWalksThatHardlyEverEndKeepTheirDigits(t *testing.T) {
	for _, p := range []float64{.5, .1, .01, 1e-3} {
		s := NewShape(2, 1) // ten in a row
		for i := range 10 {
			to := i + 1
			if i == 9 {
				to = End(0)
			}
			s.Add(Arc{0, 0}, Arc{1, to})
		}
		c, err := s.With([]float64{1 - p, p})
		require.NoError(t, err)
		x, err := c.Times()
		require.NoError(t, err)
		want := 0.0 // 1/p + 1/p^2 + ... + 1/p^10, Feller's formula without its subtraction
		for i := 1; i <= 10; i++ {
			want += math.Pow(p, -float64(i))
		}
		require.InDelta(t, 1, x.Mean/want, 1e-13, "p %v", p)
	}
}
