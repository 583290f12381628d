package schedules

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func rats(pairs ...[2]int64) (out []*big.Rat) {
	for _, p := range pairs {
		out = append(out, big.NewRat(p[0], p[1]))
	}
	return out
}

// At most halving is common practice, no source.
func TestAThinningThatLeapsIsFound(t *testing.T) {
	for _, c := range []struct {
		name  string
		means []*big.Rat
		leaps []int
	}{
		{"1, 1.5, 2, 3", rats([2]int64{1, 1}, [2]int64{3, 2}, [2]int64{2, 1}, [2]int64{3, 1}), nil},
		{"half is not yet a leap", rats([2]int64{1, 1}, [2]int64{2, 1}, [2]int64{4, 1}), nil},
		{"1, 3, 7", rats([2]int64{1, 1}, [2]int64{3, 1}, [2]int64{7, 1}), []int{0, 1}},
		{"none", nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Leaps(c.means)
			require.NoError(t, err)
			require.Equal(t, c.leaps, got)
		})
	}
	for _, bad := range [][]*big.Rat{rats([2]int64{2, 1}, [2]int64{2, 1}), rats([2]int64{1, 2}), {nil}} {
		_, err := Leaps(bad)
		require.ErrorIs(t, err, ErrThin)
	}
}

func TestAThinningNeverLeapsAndReachesItsGoal(t *testing.T) {
	got, err := Thinning(big.NewRat(3, 1), big.NewRat(3, 2))
	require.NoError(t, err)
	require.Equal(t, rats([2]int64{1, 1}, [2]int64{3, 2}, [2]int64{9, 4}, [2]int64{3, 1}), got)
	rapid.Check(t, func(t *rapid.T) {
		goal := big.NewRat(rapid.Int64Range(4, 80).Draw(t, "quarters"), 4)
		got, err := Thinning(goal, big.NewRat(rapid.Int64Range(25, 40).Draw(t, "factor"), 20))
		require.NoError(t, err)
		leaps, err := Leaps(got)
		require.NoError(t, err)
		require.Empty(t, leaps)
		require.Zero(t, got[len(got)-1].Cmp(goal))
		for _, m := range got {
			if _, err := NewRatio(Variable, m.Num().Int64(), m.Denom().Int64()); err != nil {
				require.ErrorIs(t, err, ErrUneven)
			}
		}
	})
	for _, bad := range [][2]*big.Rat{{nil, big.NewRat(2, 1)}, {big.NewRat(3, 1), big.NewRat(1, 1)}, {big.NewRat(3, 1), big.NewRat(3, 1)}, {big.NewRat(1, 2), big.NewRat(2, 1)}} {
		_, err := Thinning(bad[0], bad[1])
		require.ErrorIs(t, err, ErrThin)
	}
}
