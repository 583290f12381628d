package engine

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"

	"example.com/rung/curriculum"
)

// plainBounds works every bound out in whole numbers.
func plainBounds(share, confidence curriculum.Share, n int) []int {
	t := &tails{share: share.Rat(), alpha: new(big.Rat).Sub(big.NewRat(1, 1), confidence.Rat())}
	out := make([]int, n+1)
	for m := range out {
		for out[m] = m + 1; out[m] > 0 && t.exactly(m, out[m]-1); out[m]-- {
		}
	}
	return out
}

func TestConfidenceBoundsAreThoseOfWholeNumbers(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for range 300 {
		share := curriculum.Share{Num: 1 + r.Int64N(199), Den: 200}
		confidence := curriculum.Share{Num: 1 + r.Int64N(199), Den: 200}
		require.Equal(t, plainBounds(share, confidence, 30), bounds(share, confidence, 30), "%v %v", share, confidence)
	}
	// where the chance is the level itself: three of three at a half are one in eight, and 87.5% confidence takes them
	require.Equal(t, []int{1, 2, 3, 3}, bounds(curriculum.Percent(50), curriculum.Share{Num: 7, Den: 8}, 3))
	require.Equal(t, []int{1, 2, 3, 4}, bounds(curriculum.Percent(100), curriculum.Percent(95), 3))
}

// The bound of the longest window, against gonum's incomplete beta function: so many successes or more of m have the
// chance I_p(s, m-s+1).
func TestConfidenceBoundsOfTheLongestWindowAreThoseOfTheIncompleteBetaFunction(t *testing.T) {
	for _, share := range []int64{5, 50, 80, 99} {
		table := bounds(curriculum.Percent(share), curriculum.Percent(95), maxWindow)
		p := float64(share) / 100
		for m := 100; m <= maxWindow; m += 99 {
			s := table[m]
			if s <= m {
				require.LessOrEqual(t, mathext.RegIncBeta(float64(s), float64(m-s+1), p), 0.05+1e-9, "%d%%: %d of %d", share, s, m)
			}
			require.Greater(t, mathext.RegIncBeta(float64(s-1), float64(m-s+2), p), 0.05-1e-9, "%d%%: %d of %d", share, s-1, m)
		}
	}
}

func BenchmarkBounds(b *testing.B) {
	for _, n := range []int{30, 500, maxWindow} {
		b.Run(curriculum.CriterionText(curriculum.Confidence{Share: curriculum.Percent(80), Confidence: curriculum.Percent(95), N: n}), func(b *testing.B) {
			for b.Loop() {
				bounds(curriculum.Percent(80), curriculum.Percent(95), n)
			}
		})
	}
	b.Run("yardstick, in whole numbers: last 30", func(b *testing.B) {
		for b.Loop() {
			plainBounds(curriculum.Percent(80), curriculum.Percent(95), 30)
		}
	})
}
