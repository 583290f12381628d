package engine_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

func TestWhySaysHowAPairStands(t *testing.T) {
	text := `
behaviour take {
  pairs with give within 1 step
  step one {
    prompt word
    advance when 1 in a row
  }
  step two {
    prompt word
    advance when 1 in a row
  }
  step three {
    prompt word
    advance when 2 in a row
  }
}
behaviour give {
  step one {
    prompt word
    advance when 2 in a row
  }
}
`
	p, entries := textual(t, text, "okapi 2026-03-02 17:10 yard Halla\ngive: -\ntake: + + + +\n")
	f := p.NewFold()
	why := func(lines int, behaviour string, dogs ...curriculum.Dog) *engine.Why {
		f = p.NewFold(dogs...)
		for i := range entries[:lines] {
			require.NoError(t, f.Take(&entries[i]))
		}
		w, err := f.Why("okapi", behaviour, f.Now())
		require.NoError(t, err)
		return w
	}
	for _, c := range []struct {
		name, behaviour string
		lines           int
		want            engine.PairWhy
		says            string
	}{
		{"begun together", "take", 1, engine.PairWhy{With: "give", Within: 1}, "pairs with give within 1 step: at the same step"},
		{"as far ahead as it may", "take", 2, engine.PairWhy{With: "give", Within: 1, Ahead: 1}, "1 step ahead of it"},
		{"too far ahead", "take", 3, engine.PairWhy{With: "give", Within: 1, Ahead: 2, Waits: true}, "so no plan has it until give catches up"},
		{"the one behind", "give", 3, engine.PairWhy{With: "take", Within: 1, Ahead: -2}, "pairs with take within 1 step: 2 steps behind it"},
		{"kept: ahead of nobody", "take", 5, engine.PairWhy{With: "give", Within: 1, Ahead: 2}, "2 steps ahead of it"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := why(c.lines, c.behaviour)
			require.Equal(t, []engine.PairWhy{c.want}, w.Pairs)
			require.Contains(t, w.Text(), c.says)
			owner := "It waits for give, which goes with it and is a good way behind."
			require.Equal(t, c.want.Waits, strings.Contains(w.Words(engine.ForOwner), owner))
		})
	}
	never := curriculum.Dog{Name: "okapi", Limits: curriculum.Limits{Behaviours: map[string]curriculum.BehaviourLimits{"give": {Never: true}}}}
	require.False(t, why(3, "take", never).Pairs[0].Waits, "give is not for this dog")
}
