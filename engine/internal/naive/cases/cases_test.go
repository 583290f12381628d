package cases_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
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
	for _, m := range []string{"advance", "ease", "split", "skip", "lapse", "hand", "stop noted", "flag noted"} {
		require.Positive(t, moves[m], m)
	}
}

// The plain reader keeps the law's own symmetries, with all features on.

func answers(c *cases.Case, entries []curriculum.Entry) []naive.Answer {
	r := naive.New(c.Curriculum, c.Dogs...)
	for _, e := range entries {
		_ = r.Take(e)
	}
	return r.Answers(c.Now)
}

func TestVoidsInsideASessionChangeNothing(t *testing.T) {
	for seed := range uint64(600) {
		c := cases.Make(seed, everything())
		var spoiled []curriculum.Entry
		last := map[string]curriculum.Trial{}
		r := naive.New(c.Curriculum, c.Dogs...)
		for i, e := range c.Entries {
			before, ok := last[e.Dog()]
			if ok && !e.IsEvent && before.Session == e.Trial.Session && e.Trial.At.Sub(before.At) < naive.Gap {
				spoiled = append(spoiled, curriculum.Entry{Trial: curriculum.Trial{ID: fmt.Sprint("void-", i), Dog: before.Dog, Behaviour: e.Trial.Behaviour, At: before.At, Session: before.Session, Outcome: curriculum.Void}})
			}
			spoiled = append(spoiled, e)
			if r.Take(e) == nil && !e.IsEvent {
				last[e.Dog()] = e.Trial
			} else if e.IsEvent {
				delete(last, e.Dog())
			}
		}
		require.Empty(t, cmp.Diff(answers(c, c.Entries), answers(c, spoiled), sameRules), "%v", c)
	}
}

func TestDecidingEveryTrialIsTheSameAsNotSayingSo(t *testing.T) {
	on := everything()
	on[cases.DecideSession], on[cases.DecideTrials] = false, false
	for seed := range uint64(300) {
		c := cases.Make(seed, on)
		onlyEvidence := slices.DeleteFunc(slices.Clone(c.Entries), func(e curriculum.Entry) bool {
			return !e.IsEvent && (e.Trial.Early || e.Trial.Outcome == curriculum.OptOut)
		})
		want := answers(c, onlyEvidence)
		for _, b := range c.Curriculum.Behaviours {
			for _, s := range b.Steps {
				s.Decide.EveryTrials = 1
			}
		}
		require.Empty(t, cmp.Diff(want, answers(c, onlyEvidence), sameRules), "%v", c)
	}
}

// criteria are the curriculum's own, the same on both sides
var sameRules = cmp.Options{cmpopts.EquateEmpty(), cmpopts.IgnoreFields(naive.Move{}, "When"), cmpopts.IgnoreFields(naive.Noted{}, "When")}
