package automaton_test

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

func binomial(n, k int) int { return int(new(big.Int).Binomial(int64(n), int64(k)).Int64()) }

// Counting the ways the newest k successes can lie: C(n+1, k) where the window goes on, C(n, k-1) where passing ends it.
func TestAWindowHasAsFewStatesAsThereCanBe(t *testing.T) {
	only := automaton.Options{Without: []automaton.Kind{automaton.Silent, automaton.Helped, automaton.Early, automaton.OptOut}}
	for n := 1; n <= 10; n++ {
		for k := 1; k <= n; k++ {
			name := fmt.Sprintf("%d of last %d", k, n)
			w := curriculum.Window{K: k, N: n}
			m, err := automaton.Of(w, nil, only)
			require.NoError(t, err)
			require.Equal(t, binomial(n, k-1), m.Len(), name)
			_, least := m.Minimise()
			require.Equal(t, m.Len(), least, name)

			on := only
			on.GoesOn = true
			m, err = automaton.Of(w, nil, on)
			require.NoError(t, err)
			_, least = m.Minimise()
			require.Equal(t, binomial(n+1, k), least, name)
		}
	}
}

// The same minimum, found from all 2^n histories of the last n without knowing about ages.
func TestTheFewestStatesAreThoseOfAllHistories(t *testing.T) {
	for _, c := range []struct{ k, n int }{{1, 1}, {2, 3}, {4, 5}, {3, 6}, {5, 8}, {8, 10}} {
		class := map[int]int{} // of a history of n bits, newest lowest
		full := 1<<c.n - 1
		for h := 0; h <= full; h++ {
			class[h] = 0
			if bitsOf(h) >= c.k {
				class[h] = 1
			}
		}
		for n := 2; ; {
			ids := map[[3]int]int{}
			next := map[int]int{}
			for h := 0; h <= full; h++ {
				key := [3]int{class[h], class[h<<1&full], class[h<<1&full|1]}
				if _, ok := ids[key]; !ok {
					ids[key] = len(ids)
				}
				next[h] = ids[key]
			}
			class = next
			if len(ids) == n {
				require.Equal(t, binomial(c.n+1, c.k), n, "%d of last %d", c.k, c.n)
				break
			}
			n = len(ids)
		}
	}
}

func bitsOf(h int) (n int) {
	for ; h > 0; h &= h - 1 {
		n++
	}
	return n
}
