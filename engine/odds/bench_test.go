package odds_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/dsl"
	"example.com/rung/engine/internal/large"
	"example.com/rung/engine/odds"
)

// The mean of a waiting time three ways, on one machine: here to all its digits, by the dense solver of another library
// to all its digits, and by simulation to about one part in a hundred. Below it a machine of 15,504 states, which a
// dense solver would need two gigabytes for.
func BenchmarkMeanTrials(b *testing.B) {
	b.Run("8 of last 10", func(b *testing.B) {
		s := windowShape(8, 10, true)
		for b.Loop() {
			timesOf(b, s, .2, .8)
		}
	})
	b.Run("8 of last 10, dense solver", func(b *testing.B) {
		for b.Loop() {
			denseMean(b, windowMatrix(8, 10, .8))
		}
	})
	b.Run("8 of last 10, 2500 simulated dogs", func(b *testing.B) {
		r := rand.New(rand.NewPCG(1, 2))
		for b.Loop() {
			for range 2500 {
				simulated(r, 8, 10, .8)
			}
		}
	})
	b.Run("16 of last 20", func(b *testing.B) {
		s := windowShape(16, 20, true)
		for b.Loop() {
			timesOf(b, s, .2, .8)
		}
	})
}

// simulated is the trial at which one dog has k of the last n.
func simulated(r *rand.Rand, k, n int, p float64) int {
	window := make([]bool, n)
	for trial, good := 0, 0; ; trial++ {
		if window[trial%n] {
			good--
		}
		window[trial%n] = r.Float64() < p
		if window[trial%n] {
			good++
		}
		if good >= k {
			return trial + 1
		}
	}
}

// BenchmarkOfLarge is the answer for a curriculum of 200 behaviours (1,200 steps), which is to take seconds. The yardstick is
// that for its first behaviour alone: steps whose rules are the same are worked out once.
func BenchmarkOfLarge(b *testing.B) {
	c, ds := dsl.ReadString("large.rung", large.Curriculum(200))
	require.Empty(b, ds.Text())
	for name, behaviour := range map[string]string{"200 behaviours": "", "one of them": "b0"} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := odds.Of(c, behaviour, "", odds.Question{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// The whole answer for a ladder of steps, as `rung odds` gives it.
func BenchmarkOf(b *testing.B) {
	c := upAndDown(ofLast(8, 10), misses(4, 6))
	for b.Loop() {
		if _, err := odds.Of(c, "", "", odds.Question{}); err != nil {
			b.Fatal(err)
		}
	}
}
