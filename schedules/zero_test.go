package schedules

import (
	"math"
	"math/big"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A value that was not made by its function is harmless: it pays every success, or holds nothing.
func TestZeroValuesAreHarmless(t *testing.T) {
	for name, r := range map[string]*Ratio{"zero": {}, "nil": nil} {
		require.Equal(t, []bool{true, true, true}, r.Pattern(0, 3, 1), name)
		require.Equal(t, []bool{true, true}, r.Session(State{Successes: 5, Unpaid: 2}, 2, 1), name)
		require.Equal(t, "1", r.Mean().RatString())
		require.Zero(t, r.Variance().Sign())
		require.Zero(t, r.ChanceOfNone(1).Sign())
		require.Zero(t, r.ChanceOfNoneAnywhere(1).Sign())
		require.Equal(t, "1", r.Hazard(1).RatString())
		n, bounded := r.LongestUnpaid()
		require.Zero(t, n)
		require.True(t, bounded)
		require.Empty(t, r.List())
		require.Equal(t, Every, r.Kind())
		require.Equal(t, "1", r.Rewards(2)[2].RatString())
		_, cost, err := r.Capped(0)
		require.NoError(t, err)
		require.True(t, cost.Nothing())
	}
	require.Equal(t, 1, new(Gaps).Next())

	var p Percentile
	require.True(t, p.Session([]float64{3, 4}, false, Within{}).Pays(-1))
	require.True(t, p.Pays(1, []float64{2}, false))
	require.Zero(t, p.Rank())
	require.Equal(t, "1", p.PaidShare().RatString())
	require.Zero(t, p.ChanceOfNone(2).Sign())
	require.True(t, Percentile{Window: -3, Share: big.NewRat(1, 2)}.Pays(1, []float64{2}, false))

	for _, times := range []*Times{{}, nil} {
		require.Zero(t, times.Mean()+times.Variance()+times.Longest())
		require.Zero(t, times.ChanceOfNone(1).Sign())
		require.Empty(t, times.Draw(3, 4, 1))
		require.Empty(t, times.Session(State{}, 1, 2, 1))
		require.Equal(t, [][]float64{{8}, {9}}, times.InsideHolds(2, []float64{8, 9}, 1))
		require.Empty(t, times.Whole(1).List())
	}
	for _, v := range []*Values{{}, nil} {
		require.Zero(t, v.Full().Sign())
		require.Zero(t, v.Mean().Sign())
		require.Empty(t, v.Draw(0, 3, 1))
		require.Empty(t, v.List())
	}

	day := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	require.Equal(t, day, Reviews(nil).Due(day, 0))
	require.Equal(t, []time.Time{day, day}, Reviews(nil).Dates(day, 0, 2))
	require.Zero(t, Reviews(nil).After(2, true))
}

func TestNumbersThatAreNone(t *testing.T) {
	nan := math.NaN()
	require.Zero(t, Purse(nan, 2))
	require.Zero(t, Purse(10, nan))
	require.Zero(t, Purse(10, math.Inf(1)))
	require.Equal(t, math.MaxInt32, Purse(math.Inf(1), 2))
	require.Equal(t, Pieces{}, Take(3, 10, nan, 1))
	require.Equal(t, []float64{1.5, 2}, Rounded([]float64{1.5, 2}, 0))
	require.Equal(t, []float64{1.5, 2}, Rounded([]float64{1.5, 2}, nan))
}
