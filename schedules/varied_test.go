package schedules

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func texts(list []*big.Rat) string {
	var out []string
	for _, x := range list {
		out = append(out, strings.TrimSuffix(x.FloatString(1), ".0"))
	}
	return strings.Join(out, " ")
}

func TestValuesVaryAroundTheFullOne(t *testing.T) {
	r := func(a, b int64) *big.Rat { return big.NewRat(a, b) }
	for _, c := range []struct {
		name              string
		full, grain, most *big.Rat
		list              string
	}{
		{"ten seconds by the second", r(10, 1), r(1, 1), nil, "3 5 6 8 10 10 12"},
		{"eight seconds by the second", r(8, 1), r(1, 1), nil, "2 4 5 6 8 8 10"},
		{"exactly", r(8, 1), nil, nil, "2.4 4 4.8 6.4 8 8 9.6"},
		{"not beyond the goal", r(10, 1), r(1, 1), r(10, 1), "3 5 6 8 10 10 10"},
		{"a tie goes to the easier", r(5, 1), r(1, 1), nil, "1 2 3 4 5 5 6"},
		{"two seconds by the second", r(2, 1), r(1, 1), nil, "1 1 1 2 2 2 2"},
		{"a grain as coarse as the value", r(1, 1), r(1, 1), nil, "1 1 1 1 1 1 1"},
		{"a grain coarser than the value", r(1, 1), r(3, 1), nil, "1 1 1 1 1 1 3"},
		{"a full value between two grains", r(5, 2), r(1, 1), nil, "1 1 1 2 2.5 2.5 3"},
	} {
		t.Run(c.name, func(t *testing.T) {
			v, err := Varied(c.full, c.grain, c.most)
			require.NoError(t, err)
			require.Equal(t, c.list, texts(v.List()))
			require.Zero(t, v.Full().Cmp(c.full))
		})
	}
	v, err := Varied(r(7, 1), nil, nil)
	require.NoError(t, err)
	require.Equal(t, "27/5", v.Mean().RatString(), "0.771 of 7")
	for _, bad := range [][3]*big.Rat{{nil, nil, nil}, {r(0, 1), nil, nil}, {r(1, 1), r(0, 1), nil}, {r(2, 1), nil, r(1, 1)}} {
		_, err := Varied(bad[0], bad[1], bad[2])
		require.ErrorIs(t, err, ErrValue)
	}
}

// Three of each seven are at the full value or beyond, none is beyond the limit, and sessions are one draw cut in pieces.
func TestValuesGoOnWhereTheyWereLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		full := big.NewRat(rapid.Int64Range(1, 600).Draw(t, "full"), rapid.Int64Range(1, 4).Draw(t, "of"))
		var grain, most *big.Rat
		if rapid.Bool().Draw(t, "grained") {
			grain = big.NewRat(rapid.Int64Range(1, 40).Draw(t, "grain"), 2)
		}
		if rapid.Bool().Draw(t, "bounded") {
			most = new(big.Rat).Mul(full, big.NewRat(rapid.Int64Range(20, 26).Draw(t, "most"), 20))
		}
		v, err := Varied(full, grain, most)
		require.NoError(t, err)
		seed, cut := rapid.Uint64().Draw(t, "seed"), rapid.IntRange(0, 21).Draw(t, "cut")
		all := v.Draw(0, 21, seed)
		require.Equal(t, texts(all), strings.TrimSpace(texts(all[:cut])+" "+texts(v.Draw(cut, 21-cut, seed))))
		for round := range 3 {
			atFull, sum := 0, new(big.Rat)
			for _, x := range all[7*round : 7*round+7] {
				require.Positive(t, x.Sign())
				if most != nil {
					require.LessOrEqual(t, x.Cmp(most), 0)
				}
				if x.Cmp(full) >= 0 {
					atFull++
				}
				sum.Add(sum, x)
			}
			require.GreaterOrEqual(t, atFull, 3)
			require.Zero(t, sum.Quo(sum, big.NewRat(7, 1)).Cmp(v.Mean()))
		}
	})
}
