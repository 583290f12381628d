package schedules

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestACapKeepsTheMeanAndSaysWhatItCosts(t *testing.T) {
	for _, c := range []struct {
		name     string
		kind     RatioKind
		num, den int64
		unpaid   int
		list     []int
		says     string
	}{
		{"a mean of 4 with at most 4 unpaid", Variable, 4, 1, 4, []int{3, 4, 5}, "rewards come 3 to 5 successes apart in place of 1 to 7, so they are easier to foresee: variance 0.67 in place of 4"},
		{"as tight as can be", Variable, 4, 1, 3, []int{4}, "rewards come exactly 4 successes apart in place of 1 to 7, so they are easier to foresee: variance 0 in place of 4"},
		{"a cap that is no nearer than the list", Variable, 3, 1, 4, []int{1, 2, 3, 4, 5}, "the cap changes nothing"},
		{"a fraction", Variable, 5, 2, 3, []int{1, 2, 2, 3, 3, 4}, ""},
		{"a fraction as tight as can be", Variable, 5, 2, 2, []int{1, 2, 3, 3, 3, 3}, ""},
		{"every success", Every, 1, 1, 0, nil, "the cap changes nothing"},
		{"a fixed ratio within its cap", Fixed, 3, 1, 2, nil, "the cap changes nothing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, gave, err := ratio(t, c.kind, c.num, c.den).Capped(c.unpaid)
			require.NoError(t, err)
			require.Zero(t, r.Mean().Cmp(big.NewRat(c.num, c.den)))
			require.Equal(t, c.list, r.List())
			if c.says != "" {
				require.Equal(t, c.says, gave.String())
			}
		})
	}
	for _, c := range []struct {
		kind   RatioKind
		mean   int64
		unpaid int
	}{{Variable, 4, 2}, {Fixed, 3, 1}, {Random, 4, 2}, {Random, 4, 3}, {Variable, 2, -1}} {
		_, _, err := ratio(t, c.kind, c.mean, 1).Capped(c.unpaid)
		require.ErrorIs(t, err, ErrCap)
	}
}

func TestACappedRandomRatioIsGeometricUpToItsCap(t *testing.T) {
	r, gave, err := ratio(t, Random, 5, 1).Capped(9)
	require.NoError(t, err)
	require.Equal(t, "rewards come 1 to 10 successes apart in place of 1 and more, so they are easier to foresee: variance 10.60 in place of 20", gave.String())
	one := big.NewRat(1, 1)
	// the variance once more, by its definition
	p, _ := r.Hazard(1).Float64()
	over, variance := 1.0, 0.0
	for k := 1; k <= 10; k++ {
		here := over * p
		if k == 10 {
			here = over
		}
		variance += here * float64((k-5)*(k-5))
		over -= here
	}
	got, _ := r.Variance().Float64()
	require.InDelta(t, variance, got, 1e-9)
	for k := 1; k < 10; k++ {
		require.Zero(t, r.Hazard(k).Cmp(r.Hazard(1)), "the same chance at success %d", k)
	}
	require.Zero(t, r.Hazard(10).Cmp(one), "for certain at the cap")
	require.Zero(t, r.ChanceOfNone(10).Sign())
	n, bounded := r.LongestUnpaid()
	require.True(t, bounded)
	require.Equal(t, 9, n)

	// the draws keep it
	g, sum, longest := r.Gaps(3), 0, 0
	const draws = 100_000
	for range draws {
		n := g.Next()
		sum += n
		longest = max(longest, n)
	}
	require.Equal(t, 10, longest)
	require.InDelta(t, 5, float64(sum)/draws, 5*3.256/316.2) // five standard errors
}

// Over all means and caps: the mean stays, nothing runs beyond the cap, and the cap never adds spread.
func TestCapsOfAllRatios(t *testing.T) {
	tiny := big.NewRat(1, 1_000_000_000_000)
	rapid.Check(t, func(t *rapid.T) {
		den := rapid.Int64Range(1, 6).Draw(t, "den")
		num := rapid.Int64Range(den, 9*den).Draw(t, "num")
		r, err := NewRatio(rapid.SampledFrom([]RatioKind{Every, Fixed, Variable, Random}).Draw(t, "kind"), num, den)
		if err != nil {
			return
		}
		unpaid := rapid.IntRange(0, 30).Draw(t, "unpaid")
		c, gave, err := r.Capped(unpaid)
		if err != nil {
			require.ErrorIs(t, err, ErrCap)
			require.GreaterOrEqual(t, r.Mean().Cmp(big.NewRat(int64(unpaid), 1)), 0, "a cap above the mean can always be kept")
			return
		}
		off := new(big.Rat).Sub(c.Mean(), r.Mean())
		require.LessOrEqual(t, off.Abs(off).Cmp(tiny), 0)
		n, bounded := c.LongestUnpaid()
		require.True(t, bounded)
		require.LessOrEqual(t, n, unpaid)
		require.LessOrEqual(t, c.Variance().Cmp(new(big.Rat).Add(r.Variance(), tiny)), 0)
		require.Equal(t, gave.Nothing(), c == r)
		g, sum := c.Gaps(rapid.Uint64().Draw(t, "seed")), 0
		for range len(c.list) {
			gap := g.Next()
			require.LessOrEqual(t, gap, unpaid+1)
			sum += gap
		}
		if c.kind == Variable {
			require.Zero(t, c.Mean().Cmp(big.NewRat(int64(sum), int64(len(c.list)))))
		}
	})
}
