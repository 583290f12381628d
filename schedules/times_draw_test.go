package schedules

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"
)

// The published list of 30 s: its mean, its spread by another library, and how long a wait can be.
func TestWhatAListOfTimesPromises(t *testing.T) {
	list, err := FleshlerHoffman(30, 12)
	require.NoError(t, err)
	v, err := NewTimes(list)
	require.NoError(t, err)
	require.InDelta(t, 30, v.Mean(), 30e-12)
	mean, variance := stat.PopMeanVariance(list, nil)
	require.InDelta(t, mean, v.Mean(), 30e-12)
	require.InDelta(t, variance, v.Variance(), 1e-9)
	require.InDelta(t, 104.547, v.Longest(), 0.0005)
	require.Equal(t, "1/2", v.ChanceOfNone(20).RatString(), "six of twelve are longer than 20 s")
	require.Equal(t, "1/12", v.ChanceOfNone(100).RatString())
	require.Zero(t, v.ChanceOfNone(105).Sign())
	require.Equal(t, "1", v.ChanceOfNone(0).RatString())
	require.Equal(t, []float64{1, 4, 7, 10, 14, 18, 24, 30, 37, 47, 63, 105}, v.Whole(1).List())
}

func TestTimesGoOnWhereTheyWereLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, err := NewTimes(rapid.SliceOfN(rapid.Float64Range(0.1, 100), 1, 15).Draw(t, "list"))
		require.NoError(t, err)
		seed, cut, n := rapid.Uint64().Draw(t, "seed"), rapid.IntRange(0, 40).Draw(t, "cut"), 45
		whole := v.Draw(0, n, seed)
		require.Equal(t, whole[cut:], v.Draw(cut, n-cut, seed))
		for at := 0; at+len(v.list) <= n; at += len(v.list) {
			require.ElementsMatch(t, v.list, whole[at:at+len(v.list)], "each whole round is the whole list")
		}
		// the chance of none, counted
		within := rapid.Float64Range(0, 100).Draw(t, "within")
		over := 0
		for _, x := range v.list {
			if x > within {
				over++
			}
		}
		require.Zero(t, v.ChanceOfNone(within).Cmp(big.NewRat(int64(over), int64(len(v.list)))))
	})
}

// The clock of an interval runs on over sessions: against PaidInterval over one long session of the same successes.
func TestAnIntervalRunsOnOverSessions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		halves := rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(1, 120).Draw(t, "halves")) / 2 }) // exact to add up
		v, err := NewTimes(rapid.SliceOfN(halves, 1, 12).Draw(t, "list"))
		require.NoError(t, err)
		seed, each := rapid.Uint64().Draw(t, "seed"), halves.Draw(t, "each")
		said, before := rapid.Bool().Draw(t, "paid on record"), rapid.IntRange(0, 40).Draw(t, "before")
		successes := make([]float64, before)
		for i := range successes {
			successes[i] = each * float64(i+1)
		}
		list := v.Draw(0, before+3, seed)
		state, rewards, last := State{}, 0, 0.0
		for i, paid := range PaidInterval(successes, list) {
			switch {
			case !said:
				state = state.After(Unsaid)
			case paid:
				state = state.After(Paid)
			default:
				state = state.After(NotPaid)
			}
			if paid {
				rewards, last = rewards+1, successes[i]
			}
		}
		want := append([]float64(nil), list[rewards:rewards+3]...)
		want[0] -= each*float64(before) - last
		require.Equal(t, want, v.Session(state, each, 3, seed))
	})
	v, err := NewTimes([]float64{30})
	require.NoError(t, err)
	require.Equal(t, []float64{0, 30}, v.Session(State{Successes: 9, Unpaid: 9}, 5, 2, 1), "a reward that was due and forgotten falls to the next success")
	require.Equal(t, []float64{30}, v.Session(State{Unpaid: 9, Unsaid: 9}, math.NaN(), 1, 1))
	require.Nil(t, v.Session(State{}, 1, 0, 1))
}

func TestListsThatAreNoneAreRefused(t *testing.T) {
	for _, list := range [][]float64{nil, {0}, {-1, 3}, {math.NaN(), 2}, {1, math.NaN()}, {math.Inf(1)}, make([]float64, maxList+1)} {
		_, err := NewTimes(list)
		require.ErrorIs(t, err, ErrTime)
	}
	v, err := NewTimes([]float64{2, 1})
	require.NoError(t, err)
	require.Empty(t, v.Draw(3, -1, 1))
	require.Len(t, v.Draw(-3, 2, 1), 2)
}

// The moments of many holds are those of each hold by itself, and a session goes on where the last one stopped.
func TestMomentsInsideHoldsGoOnFromSessionToSession(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, err := NewTimes(rapid.SliceOfN(rapid.Float64Range(0.5, 30), 1, 9).Draw(t, "list"))
		require.NoError(t, err)
		hold, seed := rapid.Float64Range(0.5, 60).Draw(t, "hold"), rapid.Uint64().Draw(t, "seed")
		holds := make([]float64, 12)
		for i := range holds {
			holds[i] = hold
		}
		all := v.InsideHolds(0, holds, seed)
		cut := rapid.IntRange(0, 11).Draw(t, "cut")
		require.Equal(t, all[cut:], v.InsideHolds(cut, holds[cut:], seed))
		list := v.Draw(0, 2000, seed)
		for i, at := range all {
			one, used := InsideHold(hold, list)
			require.Equal(t, one, at, "hold %d", i+1)
			list = list[max(used, 1):]
		}
	})
	require.Nil(t, (&Times{list: []float64{1}}).InsideHolds(3, nil, 1))
}
