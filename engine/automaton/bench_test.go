package automaton_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

var twelveOfSixteen = curriculum.Window{K: 12, N: 16}

// BenchmarkMake builds 12 of last 16 from the ages of its newest successes: 4,368 states.
func BenchmarkMake(b *testing.B) {
	only := automaton.Options{Without: []automaton.Kind{automaton.Silent, automaton.Helped, automaton.Early, automaton.OptOut}}
	for b.Loop() {
		m, err := automaton.Of(twelveOfSixteen, nil, only)
		require.NoError(b, err)
		require.Equal(b, 4368, m.Len())
	}
}

// BenchmarkYardstickBitMasks explores the same window as masks of the last sixteen trials: 2^16 at most.
func BenchmarkYardstickBitMasks(b *testing.B) {
	w := twelveOfSixteen
	for b.Loop() {
		known := map[uint32]int{0: 0}
		queue := []uint32{0}
		var next []int
		for i := 0; i < len(queue); i++ {
			for bit := range uint32(2) {
				to := queue[i]<<1&(1<<w.N-1) | bit
				if bitsOf(int(to)) >= w.K {
					next = append(next, -1)
					continue
				}
				id, ok := known[to]
				if !ok {
					id = len(queue)
					known[to] = id
					queue = append(queue, to)
				}
				next = append(next, id)
			}
		}
		require.Greater(b, len(next), 2*4368)
	}
}
