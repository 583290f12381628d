package odds_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/odds"
)

// The mean wait for 2 of the last 3, which is a scan of three trials: (2-q^2)/(p(1-q^2)) (M. V. Koutras, Annals of the
// Institute of Statistical Mathematics 48 (1996) 789; the formula from memory, its value at p = 0.1, 1190/19, recomputed).
func TestALapseWaitsAsLongAsItsWindowSays(t *testing.T) {
	c := ladderOf([]curriculum.Rule{rule(curriculum.Advance, ofLast(4, 5)), rule(curriculum.Ease, misses(3, 5))})
	c.Behaviours[0].Lapse = []curriculum.Rule{rule(curriculum.Lapse, misses(2, 3))}
	q := odds.Question{Chances: []float64{.9, .6, 1}, By: 20}
	a, err := odds.Of(c, "", "", q)
	require.NoError(t, err)
	require.Len(t, a.Lapses, 3)
	require.InEpsilon(t, 1190./19, float64(a.Lapses[0].Mean), 1e-11)
	for i, wrong := range []float64{.1, .4} {
		same := criterion(t, ofLast(2, 3), odds.Question{Chances: []float64{wrong}, By: 20})[0]
		require.InDelta(t, same.Advance, a.Lapses[i].Lapse, 1e-11)
		require.InEpsilon(t, float64(same.SD), float64(a.Lapses[i].SD), 1e-10)
		require.Zero(t, a.Lapses[i].Never)
	}
	require.Equal(t, []float64{0, 1}, []float64{a.Lapses[2].Lapse, a.Lapses[2].Never})
	require.False(t, a.Lapses[2].Mean.Finite())
	require.Contains(t, a.Text(), "kept, and lapses")
	require.Equal(t, "2 misses of last 3", a.Lapses[0].Criterion)

	// two rules of the word add up, and a question about a step has none
	c.Behaviours[0].Lapse = append(c.Behaviours[0].Lapse, rule(curriculum.Lapse, misses(1, 1)))
	a, err = odds.Of(c, "spin", "", q)
	require.NoError(t, err)
	require.InEpsilon(t, 10, float64(a.Lapses[0].Mean), 1e-11)
	require.Equal(t, "2 misses of last 3; or 1 miss of last 1", a.Lapses[0].Criterion)
	a, err = odds.Of(c, "spin", "a", q)
	require.NoError(t, err)
	require.Empty(t, a.Lapses)
}

func TestAShareThatIsNeverReachedIsNullInJSON(t *testing.T) {
	out, err := json.Marshal(criterion(t, inARow(10), odds.Question{Chances: []float64{.3, .95}}))
	require.NoError(t, err)
	var rows []map[string]any
	require.NoError(t, json.Unmarshal(out, &rows))
	require.Equal(t, []any{nil, nil}, []any{rows[0]["half_by"], rows[0]["nine_in_ten_by"]})
	require.Equal(t, []any{10., 21.}, []any{rows[1]["half_by"], rows[1]["nine_in_ten_by"]})
	var back []odds.Row
	require.NoError(t, json.Unmarshal(out, &back))
	require.Equal(t, odds.ByTrial(10), back[1].HalfBy)
	require.Zero(t, back[0].HalfBy)
}
