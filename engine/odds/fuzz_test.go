package odds_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine/odds"
)

// Any machine of a few states, any chances: all walks end somewhere or go on for ever, and nothing else happens.
func FuzzTimes(f *testing.F) {
	f.Add([]byte{2, 1, 3, 128, 0, 1, 0, 2, 0, 255})
	f.Add([]byte{3, 2, 5, 10, 0, 1, 2, 3, 4, 254, 255, 0, 0, 0, 1, 1, 1, 2, 2, 2})
	f.Add([]byte{1, 0, 1, 0, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		next := func() int {
			if len(data) == 0 {
				return 0
			}
			b := data[0]
			data = data[1:]
			return int(b)
		}
		letters, ends, states := 1+next()%4, next()%4, 1+next()%24
		weights, total := make([]float64, letters), 0.0
		for i := range weights {
			weights[i] = float64(next())
			total += weights[i]
		}
		if total == 0 {
			weights[0], total = 1, 1
		}
		for i := range weights {
			weights[i] /= total
		}
		s := odds.NewShape(letters, ends)
		for range states {
			var arcs []odds.Arc
			for l := range letters {
				to := next() % (states + ends)
				if to >= states {
					to = odds.End(to - states)
				}
				arcs = append(arcs, odds.Arc{Letter: l, To: to})
			}
			s.Add(arcs...)
		}
		c, err := s.With(weights)
		require.NoError(t, err)
		x, err := c.Times()
		require.NoError(t, err)
		whole, by := x.Never, 0.0
		for _, e := range x.Ends {
			whole += e.Chance
		}
		require.InDelta(t, 1, whole, 1e-9)
		require.LessOrEqual(t, x.Residual, 1e-14)
		require.GreaterOrEqual(t, x.Mean, 1-1e-12)
		require.False(t, math.IsNaN(x.SD))
		last := 0.0
		c.Walk(40, func(trial int, now []float64) bool {
			by = 0
			for _, v := range now {
				by += v
			}
			require.GreaterOrEqual(t, by, last)
			last = by
			return true
		})
		require.LessOrEqual(t, by, 1-x.Never+1e-9)
	})
}
