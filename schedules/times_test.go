package schedules

import (
	"math"
	"math/big"
	"sort"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// The list of Fleshler and Hoffman's own example, mean 30 s and twelve intervals, as printed to three decimals.
func TestPublishedListOfThirtySeconds(t *testing.T) {
	want := []float64{1.286, 4.017, 7.022, 10.363, 14.122, 18.423, 23.446, 29.487, 37.067, 47.261, 62.958, 104.547}
	got, err := FleshlerHoffman(30, 12)
	require.NoError(t, err)
	for i := range want {
		require.InDelta(t, want[i], got[i], 0.0005, "interval %d", i+1)
	}
}

// Lists worked out for the checks from the formula, not printed in the paper.
func TestFurtherIntervalLists(t *testing.T) {
	for _, c := range []struct {
		mean float64
		want []float64
	}{
		{30, []float64{1.5527, 4.8929, 8.6527, 12.9531, 17.9765, 24.0172, 31.5973, 41.7913, 57.4887, 99.0776}},
		{30, []float64{.7628, 2.3425, 4.0100, 5.7757, 7.6520, 9.6535, 11.7981, 14.1081, 16.6110, 19.3421, 22.3471, 25.6873, 29.4471, 33.7475, 38.7710, 44.8116, 52.3918, 62.5857, 78.2831, 119.8720}},
	} {
		got, err := FleshlerHoffman(c.mean, len(c.want))
		require.NoError(t, err)
		for i := range c.want {
			require.InDelta(t, c.want[i], got[i], 0.00006, "interval %d of %d", i+1, len(c.want))
		}
	}
	for n, last := range map[int][2]float64{10: {114.9774, 198.1551}, 12: {125.9167, 209.0944}} {
		got, err := FleshlerHoffman(60, n)
		require.NoError(t, err)
		require.InDelta(t, last[0], got[n-2], 0.0001)
		require.InDelta(t, last[1], got[n-1], 0.0001)
	}
}

func TestIntervalsAreTheMeansOfEqualSlicesOfAnExponential(t *testing.T) {
	const mean, n = 20.0, 8
	got, err := FleshlerHoffman(mean, n)
	require.NoError(t, err)
	e := distuv.Exponential{Rate: 1 / mean}
	for i := range n - 1 {
		// mean of the quantile over a slice of equal probability; the last slice reaches to infinity
		m := n * quad.Fixed(e.Quantile, float64(i)/n, float64(i+1)/n, 60, nil, 0)
		require.InDelta(t, m, got[i], 1e-3, "slice %d", i+1)
	}
}

func TestListsOfTimesKeepTheirMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mean, n := rapid.Float64Range(0.5, 600).Draw(t, "mean"), rapid.IntRange(1, 200).Draw(t, "n")
		for name, f := range map[string]func(float64, int) ([]float64, error){"interval": FleshlerHoffman, "duration": Durations, "same": Same} {
			list, err := f(mean, n)
			require.NoError(t, err)
			require.InEpsilon(t, mean*float64(n), total(list), 1e-9, name)
			require.True(t, sort.Float64sAreSorted(list), name)
			s := Shuffled(list, 7)
			require.ElementsMatch(t, list, s, name)
			require.Equal(t, s, Shuffled(list, 7), name)
		}
	})
}

func TestTimesThatAreNoneAreRefused(t *testing.T) {
	for _, mean := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err := FleshlerHoffman(mean, 3)
		require.ErrorIs(t, err, ErrTime)
	}
	_, err := Durations(10, 0)
	require.ErrorIs(t, err, ErrTime)
	_, err = Same(10, maxList+1)
	require.ErrorIs(t, err, ErrTime)
}

func TestRoundedListsAreWholeAndKeepTheSum(t *testing.T) {
	list, err := FleshlerHoffman(30, 12)
	require.NoError(t, err)
	require.Equal(t, []float64{1, 4, 7, 10, 14, 18, 24, 30, 37, 47, 63, 105}, Rounded(list, 1))
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.Float64Range(0.01, 40), 1, 30).Draw(t, "list")
		out := Rounded(list, 1)
		require.Len(t, out, len(list))
		allOnes := true
		for i, v := range out {
			require.Equal(t, math.Trunc(v), v)
			require.GreaterOrEqual(t, v, 1.0)
			require.LessOrEqual(t, v, math.Ceil(list[i]))
			allOnes = allOnes && v == 1
		}
		if !allOnes {
			require.InDelta(t, total(list), total(out), 0.5+1e-6)
		}
	})
}

func TestIntervalsPayTheFirstSuccessAfterTheyHaveRun(t *testing.T) {
	successes := []float64{5, 12, 19, 21, 40, 46}
	require.Equal(t, []bool{false, true, false, false, true, false}, PaidInterval(successes, []float64{10, 20, 30}))
	require.Equal(t, []bool{true, false, false, false, false, false}, PaidInterval(successes, []float64{5}))
}

func TestAHoldIsPaidInsideAndAtItsEnd(t *testing.T) {
	for _, c := range []struct {
		name  string
		hold  float64
		times []float64
		at    []float64
		used  int
	}{
		{"shorter than the first time", 2, []float64{8, 4}, []float64{2}, 0},
		{"two moments inside", 20, []float64{8, 4, 12}, []float64{8, 12, 20}, 2},
		{"a moment at the very end is the end", 8, []float64{8, 4}, []float64{8}, 0},
		{"a list that runs out", 20, []float64{8}, []float64{8, 20}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			at, used := InsideHold(c.hold, c.times)
			require.Equal(t, c.at, at)
			require.Equal(t, c.used, used)
		})
	}
}

// Ranks of Platt (1973) and Galbicka (1994): k = (m+1)(1-w).
func TestPercentileRanks(t *testing.T) {
	for _, c := range []struct {
		m        int
		num, den int64
		exact    string
		rank     int
		paid     float64
	}{
		{9, 1, 2, "5", 5, .5}, {9, 7, 10, "3", 3, .7}, {19, 4, 5, "4", 4, .8}, {24, 1, 5, "20", 20, .2}, {5, 1, 2, "3", 3, .5},
		{10, 1, 2, "11/2", 5, .545455}, {20, 1, 2, "21/2", 10, .523810}, {5, 7, 10, "9/5", 1, .833333}, {4, 4, 5, "1", 1, .8}, {4, 9, 10, "1/2", 0, 1},
	} {
		p, err := NewPercentile(c.m, big.NewRat(c.num, c.den))
		require.NoError(t, err)
		require.Equal(t, c.exact, p.ExactRank().RatString(), "m=%d", c.m)
		require.Equal(t, c.rank, p.Rank())
		paid, _ := p.PaidShare().Float64()
		require.InDelta(t, c.paid, paid, 5e-7)
	}
	for _, bad := range []*big.Rat{nil, new(big.Rat), big.NewRat(1, 1), big.NewRat(-1, 2)} {
		_, err := NewPercentile(5, bad)
		require.ErrorIs(t, err, ErrShare)
	}
}

// All orders of m+1 different values: exactly 1 - k/(m+1) of them pay the last (96, 72 and 48 of 120 for m = 4).
func TestPercentilePaysItsShareOverAllOrders(t *testing.T) {
	for _, c := range []struct {
		m        int
		num, den int64
		paid     int
	}{{4, 4, 5, 96}, {4, 3, 5, 72}, {4, 2, 5, 48}, {5, 1, 2, 360}} {
		p, err := NewPercentile(c.m, big.NewRat(c.num, c.den))
		require.NoError(t, err)
		for _, smaller := range []bool{false, true} {
			paid := 0
			permute(c.m+1, func(order []float64) {
				if p.Pays(order[c.m], order[:c.m], smaller) {
					paid++
				}
			})
			require.Equal(t, c.paid, paid, "m=%d smaller=%v", c.m, smaller)
		}
	}
}

func permute(n int, visit func([]float64)) {
	a := make([]float64, n)
	for i := range a {
		a[i] = float64(i)
	}
	var walk func(int)
	walk = func(k int) {
		if k == n {
			visit(append([]float64(nil), a...))
			return
		}
		for i := k; i < n; i++ {
			a[k], a[i] = a[i], a[k]
			walk(k + 1)
			a[k], a[i] = a[i], a[k]
		}
	}
	walk(0)
}

func TestPercentileThresholds(t *testing.T) {
	p, err := NewPercentile(9, big.NewRat(7, 10))
	require.NoError(t, err)
	recent := []float64{100, 90, 30, 45, 60, 30, 75, 90, 45, 60}
	v, ok := p.Threshold(recent, false) // the oldest falls out: 30 30 45 45 60 60 75 90 90
	require.True(t, ok)
	require.Equal(t, 45.0, v)
	require.False(t, p.Pays(45, recent, false), "a tie does not beat it")
	require.True(t, p.Pays(46, recent, false))
	v, _ = p.Threshold(recent, true)
	require.Equal(t, 75.0, v)
	_, ok = p.Threshold(nil, false)
	require.False(t, ok)
	require.True(t, p.Pays(1, nil, false), "before there are values everything is paid")
	v, ok = p.Threshold([]float64{5, 7, 9}, false) // (3+1) x 0.3 = 1.2: the lowest
	require.True(t, ok)
	require.Equal(t, 5.0, v)
}

func TestReviewGaps(t *testing.T) {
	r, err := NewReviews(1, 3, 7, 14, 30)
	require.NoError(t, err)
	last := time.Date(2026, 2, 27, 18, 0, 0, 0, time.FixedZone("", 3600))
	require.Equal(t, "2026-02-28", r.Due(last, 0).Format(time.DateOnly))
	require.Equal(t, "2026-03-06", r.Due(last, 2).Format(time.DateOnly))
	require.Equal(t, "2026-03-29", r.Due(last, 99).Format(time.DateOnly), "the last gap repeats")
	require.Equal(t, 1, r.After(0, true))
	require.Equal(t, 4, r.After(4, true))
	require.Equal(t, 0, r.After(3, false), "a failure goes back to the first")
	for _, bad := range [][]int{nil, {0}, {3, -1}} {
		_, err := NewReviews(bad...)
		require.ErrorIs(t, err, ErrGaps)
	}
	require.Equal(t, 1, DaysBetween(time.Date(2026, 3, 1, 23, 50, 0, 0, time.UTC), time.Date(2026, 3, 2, 0, 10, 0, 0, time.UTC)))
}

func total(list []float64) (sum float64) {
	for _, v := range list {
		sum += v
	}
	return sum
}
