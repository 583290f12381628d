package cases_test

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine/internal/naive"
	"example.com/rung/engine/internal/naive/cases"
)

func everything() map[cases.Feature]bool {
	on := map[cases.Feature]bool{}
	for _, f := range cases.All {
		on[f] = true
	}
	return on
}

func TestACaseIsMadeFromItsSeedAlone(t *testing.T) {
	for seed := range uint64(20) {
		require.Equal(t, cases.Make(seed, everything()).String(), cases.Make(seed, everything()).String())
	}
}

func TestEveryFeatureHasAProbe(t *testing.T) {
	for _, f := range cases.All {
		require.NotNil(t, cases.Probe(f), "no probe for %q", f)
	}
}

func TestEveryCriterionMakesMovesOrNotes(t *testing.T) {
	fired := map[cases.Feature]int{}
	moves := map[string]int{}
	for seed := range uint64(1500) {
		c := cases.Make(seed, everything())
		r := naive.New(c.Curriculum, c.Dogs...)
		for _, e := range c.Entries {
			_ = r.Take(e)
		}
		for _, a := range r.Answers(c.Now) {
			for _, s := range a.Behaviours {
				for _, m := range s.Moves {
					moves[m.Rule]++
					for _, f := range cases.FeaturesOf(m.When) {
						fired[f]++
					}
				}
				for _, n := range s.Noted {
					moves[n.Rule+" noted"]++
					for _, f := range cases.FeaturesOf(n.When) {
						fired[f]++
					}
				}
			}
		}
	}
	for _, f := range slices.Sorted(maps.Keys(fired)) {
		t.Logf("%-32s %d", f, fired[f])
	}
	for _, m := range slices.Sorted(maps.Keys(moves)) {
		t.Logf("%-32s %d", m, moves[m])
	}
	for _, m := range []string{"advance", "ease", "split", "skip", "lapse", "hand", "stop noted", "flag noted", "split noted"} {
		require.Positive(t, moves[m], m)
	}
}
