package plan_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine/plan"
)

// The chooser is greedy with exchanges. This holds it against the exhaustive search, with the opening and the closing
// as they were chosen.
func TestTheChoiceIsNearTheBest(t *testing.T) {
	days, exact, sum, worst := 0, 0, 0.0, 1.0
	for seed := uint64(0); days < 400 && seed < 20_000; seed++ {
		d := dice{rand.New(rand.NewPCG(seed, 5))}
		c := d.curriculum(2 + d.IntN(4))
		v := d.view(c, d.dog(c))
		chosen, best, ok := plan.Worth(program(t, c), v, d.request())
		if !ok || best == 0 {
			continue
		}
		days++
		share := chosen / best
		require.LessOrEqual(t, share, 1+1e-9, "seed %d: better than the best", seed)
		sum += share
		worst = min(worst, share)
		if share > 1-1e-9 {
			exact++
		}
	}
	t.Logf("%d days, %d of them exactly best, %.4f of the best on average, %.3f at worst", days, exact, sum/float64(days), worst)
	require.Equal(t, 400, days)
	require.Greater(t, sum/float64(days), 0.995)
	require.Greater(t, worst, 0.95)
}
