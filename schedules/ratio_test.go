package schedules

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func ratio(t require.TestingT, kind RatioKind, num, den int64) *Ratio {
	r, err := NewRatio(kind, num, den)
	require.NoError(t, err)
	return r
}

func TestVariableRatioDrawsFromABalancedList(t *testing.T) {
	for _, c := range []struct {
		name     string
		num, den int64
		list     []int
		unpaid   int
	}{
		{"mean 1 pays every success", 1, 1, []int{1}, 0},
		{"mean 3 is 1 to 5", 3, 1, []int{1, 2, 3, 4, 5}, 4},
		{"mean 1.5 mixes three lists of 1 with one of 2", 3, 2, []int{1, 1, 1, 1, 2, 3}, 2},
		{"mean 2.5 mixes lists of 2 and of 3", 5, 2, []int{1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 3, 3, 3, 3, 4, 4, 4, 5, 5, 5}, 4},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := ratio(t, Variable, c.num, c.den)
			require.Equal(t, c.list, r.List())
			n, bounded := r.LongestUnpaid()
			require.True(t, bounded)
			require.Equal(t, c.unpaid, n)
		})
	}
}

// Bancroft and Bourret (2008) tell variable from random ratios; the moments are worked out from their definitions.
func TestRatioMoments(t *testing.T) {
	for _, c := range []struct {
		name     string
		kind     RatioKind
		mean     int64
		variance *big.Rat
	}{
		{"a variable ratio of 5 has variance 20/3", Variable, 5, big.NewRat(20, 3)},
		{"a variable ratio of 10 has variance 30", Variable, 10, big.NewRat(30, 1)},
		{"a random ratio of 5 has variance 20", Random, 5, big.NewRat(20, 1)},
		{"a random ratio of 10 has variance 90", Random, 10, big.NewRat(90, 1)},
		{"a fixed ratio has none", Fixed, 4, new(big.Rat)},
		{"every success has none", Every, 1, new(big.Rat)},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := ratio(t, c.kind, c.mean, 1)
			require.Zero(t, r.Mean().Cmp(big.NewRat(c.mean, 1)))
			require.Equal(t, c.variance.RatString(), r.Variance().RatString())
		})
	}
}

func TestHazards(t *testing.T) {
	v, r := ratio(t, Variable, 5, 1), ratio(t, Random, 5, 1)
	for k := 1; k <= 9; k++ {
		require.Equal(t, big.NewRat(1, int64(10-k)).RatString(), v.Hazard(k).RatString(), "variable, success %d", k)
		require.Equal(t, "1/5", r.Hazard(k).RatString(), "random, success %d", k)
	}
	require.Zero(t, v.Hazard(10).Sign())
}

func TestRandomRatioOfFive(t *testing.T) {
	r := ratio(t, Random, 5, 1)
	for k, want := range []float64{.2, .16, .128, .1024, .08192} {
		p := new(big.Rat).Sub(r.ChanceOfNone(k), r.ChanceOfNone(k+1))
		got, _ := p.Float64()
		require.InDelta(t, want, got, 1e-15, "first reward at success %d", k+1)
	}
	none, _ := r.ChanceOfNone(10).Float64()
	require.InDelta(t, .1073741824, none, 1e-15)
}

func TestFixedRatioWithAFractionPaysAtTheCeilings(t *testing.T) {
	r := ratio(t, Fixed, 3, 2)
	require.Equal(t, []bool{false, true, true, false, true, true, false, true, true}, r.Pattern(0, 9, 1))
	require.Equal(t, r.Pattern(0, 9, 1)[4:], r.Pattern(4, 5, 1), "a pattern goes on where it was left")
}

// The chances that a gap is longer than 0, 1, 2 ... add up to its mean, and the hazards give the same gaps.
func TestGapsHaveOneDistributionWhicheverWayItIsAsked(t *testing.T) {
	half := big.NewRat(1, 2)
	require.Zero(t, ratio(t, Fixed, 3, 2).ChanceOfNone(1).Cmp(half), "2 1 2 1: after every other reward the next success pays")
	require.Zero(t, ratio(t, Fixed, 3, 2).Hazard(1).Cmp(half))
	rapid.Check(t, func(t *rapid.T) {
		den := rapid.Int64Range(1, 6).Draw(t, "den")
		r := ratio(t, rapid.SampledFrom([]RatioKind{Every, Fixed, Variable}).Draw(t, "kind"), rapid.Int64Range(den, 6*den).Draw(t, "num"), den)
		longest, _ := r.LongestUnpaid()
		sum, square, left := new(big.Rat), new(big.Rat), big.NewRat(1, 1)
		for k := range longest + 2 {
			c := r.ChanceOfNone(k)
			require.Zero(t, c.Cmp(left), "none in %d", k)
			sum.Add(sum, c)
			square.Add(square, new(big.Rat).Mul(c, big.NewRat(int64(2*k+1), 1)))
			left.Mul(left, new(big.Rat).Sub(big.NewRat(1, 1), r.Hazard(k+1)))
		}
		require.Zero(t, sum.Cmp(r.Mean()))
		require.Zero(t, square.Sub(square, sum.Mul(sum, sum)).Cmp(r.Variance()))
	})
}

func TestARatioThatCannotBeKeptIsRefused(t *testing.T) {
	for _, c := range []struct {
		name     string
		kind     RatioKind
		num, den int64
		err      error
	}{
		{"below one", Variable, 1, 2, ErrMean},
		{"no denominator", Fixed, 3, 0, ErrMean},
		{"negative", Random, -3, 1, ErrMean},
		{"a list of a hundred thousand", Variable, 20001, 10000, ErrUneven},
		{"an unknown kind", 9, 2, 1, ErrUnknown},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := NewRatio(c.kind, c.num, c.den)
			require.ErrorIs(t, err, c.err)
		})
	}
}

func TestEveryWholeListHoldsTheMeanExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		den := rapid.Int64Range(1, 12).Draw(t, "den")
		num := rapid.Int64Range(den, 12*den).Draw(t, "num")
		kind := rapid.SampledFrom([]RatioKind{Fixed, Variable}).Draw(t, "kind")
		r, err := NewRatio(kind, num, den)
		if err != nil {
			require.ErrorIs(t, err, ErrUneven)
			return
		}
		rewards := int(r.den)
		if kind == Variable {
			rewards = len(r.list)
		}
		g, sum, longest := r.Gaps(rapid.Uint64().Draw(t, "seed")), 0, 0
		for range rewards {
			n := g.Next()
			sum += n
			longest = max(longest, n-1)
		}
		require.Zero(t, r.Mean().Cmp(big.NewRat(int64(sum), int64(rewards))), "%d successes for %d rewards", sum, rewards)
		bound, bounded := r.LongestUnpaid()
		require.True(t, bounded)
		require.Equal(t, bound, longest)
		require.Zero(t, r.ChanceOfNone(bound+1).Sign())
		require.Positive(t, r.ChanceOfNone(bound).Sign())
	})
}

// The moments of the list by the sums of their definitions, the slow way.
func TestVarianceAgreesWithItsDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		den := rapid.Int64Range(1, 5).Draw(t, "den")
		r := ratio(t, Variable, rapid.Int64Range(den, 6*den).Draw(t, "num"), den)
		mean, _ := r.Mean().Float64()
		var sum float64
		for _, g := range r.List() {
			sum += (float64(g) - mean) * (float64(g) - mean)
		}
		got, _ := r.Variance().Float64()
		require.InDelta(t, sum/float64(len(r.List())), got, 1e-9)
	})
}

func TestARandomRatioKeepsItsChance(t *testing.T) {
	r := ratio(t, Random, 5, 2)
	n, paid := 200_000, 0
	for _, p := range r.Pattern(0, n, 42) {
		if p {
			paid++
		}
	}
	// five standard deviations of a binomial count
	require.InDelta(t, .4, float64(paid)/float64(n), 5*math.Sqrt(.24/float64(n)))
}

func TestOneSeedGivesOnePattern(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := ratio(t, rapid.SampledFrom([]RatioKind{Every, Fixed, Variable, Random}).Draw(t, "kind"), rapid.Int64Range(2, 9).Draw(t, "num"), 2)
		seed, cut, n := rapid.Uint64().Draw(t, "seed"), rapid.IntRange(0, 30).Draw(t, "cut"), 40
		whole := r.Pattern(0, n, seed)
		require.Equal(t, whole, r.Pattern(0, n, seed))
		require.Equal(t, whole[cut:], r.Pattern(cut, n-cut, seed))
	})
}
