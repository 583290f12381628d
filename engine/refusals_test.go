package engine_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

func TestARefusalSaysHowToMendIt(t *testing.T) {
	plain := curriculum.Rule{Word: curriculum.Advance, When: last(4, 5)}
	for _, c := range []struct {
		name string
		of   func(b *curriculum.Behaviour)
		next string
	}{
		{"too long a window", func(b *curriculum.Behaviour) { b.Steps[0].Rules[0].When = last(40, 20000) }, "take a shorter window"},
		{"more than the window holds", func(b *curriculum.Behaviour) { b.Steps[0].Rules[0].When = last(6, 5) }, "ask for no more than the window holds, and for at least 1"},
		{"an ease that leads onwards", func(b *curriculum.Behaviour) {
			b.Steps[0].Rules = append(b.Steps[0].Rules, curriculum.Rule{Word: curriculum.Ease, To: "two", When: last(4, 5)})
		}, "name a step that comes before this one, or write ease alone"},
		{"a skip to the first step", func(b *curriculum.Behaviour) {
			b.Steps[0].Rules = append(b.Steps[0].Rules, curriculum.Rule{Word: curriculum.Skip, When: last(4, 5)})
		}, "move the skip rule to a later step"},
		{"two steps of one name", func(b *curriculum.Behaviour) { b.Steps[1].Name = "one" }, "give every step of a behaviour a name of its own"},
		{"no steps", func(b *curriculum.Behaviour) { b.Steps = nil }, "write at least one step"},
		{"a need on nothing", func(b *curriculum.Behaviour) { b.Needs = []curriculum.Need{{Other: "sit"}} }, "name a behaviour, step and level that are there, or take the need out"},
		{"a measure nobody declared", func(b *curriculum.Behaviour) {
			b.Steps[0].Rules[0].When = curriculum.Statistic{Stat: curriculum.Mean, Measure: "sway", N: 5, Op: ">=", Value: curriculum.Q(30, curriculum.Degree)}
		}, "declare it, such as: measure sway in deg"},
		{"a condition that cannot be read", func(b *curriculum.Behaviour) {
			b.Steps[0].Rules[0].When = curriculum.Holds{Expr: &curriculum.Expression{Text: "latency <"}}
		}, "mend what stands between the braces"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := behaviour("spin", step("one", plain), step("two", plain))
			c.of(b)
			_, err := engine.Compile(house(b))
			var refused engine.Refusals
			require.ErrorAs(t, err, &refused)
			require.Equal(t, c.next, refused[0].Next, "%v", refused)
		})
	}
}
