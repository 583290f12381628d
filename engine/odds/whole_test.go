package odds_test

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine/internal/large"
	"example.com/rung/engine/odds"
)

// Two behaviours with the same criteria at each step, and other ways back.
const sameCriteria = `rung 1
behaviour near {
  step one {
    advance when 3 in a row
  }
  step two {
    advance when 3 in a row
  }
  step three {
    advance when 3 in a row
    ease when 2 misses in a row
  }
}
behaviour far {
  step one {
    advance when 3 in a row
  }
  step two {
    ramp duration 1 s, 2 s, 3 s
    advance when 3 in a row
  }
  step three {
    advance when 3 in a row
    ease to one when 2 misses in a row
  }
  step four {
    advance when 3 in a row
    ease to two first level when 2 misses in a row
  }
}
`

// What is said of a behaviour is the same whether it is asked about alone or with all others, though what rules have in
// common is worked out once.
func TestOneBehavioursAnswerDoesNotDependOnTheOthers(t *testing.T) {
	for name, text := range map[string]string{"the same criteria": sameCriteria, "many": large.Curriculum(5)} {
		c, ds := dsl.ReadString("main.rung", text)
		require.Empty(t, ds.Text())
		q := odds.Question{Chances: []float64{.6, .85}}
		all, err := odds.Of(c, "", "", q)
		require.NoError(t, err)
		for _, b := range []*curriculum.Behaviour{c.Behaviours[0], c.Behaviours[len(c.Behaviours)-1]} { // alike in most
			alone, err := odds.Of(c, b.Name, "", q)
			require.NoError(t, err)
			of := &odds.Answer{Notes: all.Notes}
			of.Rows = slices.DeleteFunc(slices.Clone(all.Rows), func(r odds.Row) bool { return r.Behaviour != b.Name })
			of.Steps = slices.DeleteFunc(slices.Clone(all.Steps), func(s odds.Step) bool { return s.Behaviour != b.Name })
			of.Ladders = slices.DeleteFunc(slices.Clone(all.Ladders), func(l odds.Ladder) bool { return l.Behaviour != b.Name })
			of.Lapses = alone.Lapses
			alone.Notes = all.Notes // what was taken for granted in the whole answer
			require.JSONEq(t, asJSON(t, alone), asJSON(t, of), "%s, %s", name, b.Name)
			lines := map[int]bool{}
			for _, r := range alone.Rows {
				for _, rule := range r.Rules {
					require.Equal(t, "main.rung", rule.File)
					at := b.Steps[b.Step(r.Step)].Rules[0].Pos.Line
					require.GreaterOrEqual(t, rule.Line, at, "a rule stands in its own step")
					lines[rule.Line] = true
				}
			}
			require.GreaterOrEqual(t, len(lines), len(b.Steps), "each with its own line")
		}
	}
}

func asJSON(t *testing.T, a *odds.Answer) string {
	text, err := json.Marshal(a) // no number is compared that nobody can read
	require.NoError(t, err)
	return string(text)
}

// The way back to the first step costs more than the one to the step before. Seventy times in a hundred right: three in a row
// take 6.38483965 trials (Feller); the rest by hand from the first step's equations.
func TestAWayBackLeadsWhereItsOwnRuleSays(t *testing.T) {
	c, ds := dsl.ReadString("main.rung", sameCriteria)
	require.Empty(t, ds.Text())
	a, err := odds.Of(c, "", "", odds.Question{Chances: []float64{.7}})
	require.NoError(t, err)
	row := func(behaviour, step string) odds.Row {
		return a.Rows[slices.IndexFunc(a.Rows, func(r odds.Row) bool { return r.Behaviour == behaviour && r.Step == step })]
	}
	const run = 6.38483965 // 3 in a row at .7
	three := row("near", "three")
	stay, up := float64(three.Mean), three.FirstAdvance
	// T = stay + (1-up)(back + T), so T = (stay + (1-up) back)/up
	near(t, (stay+(1-up)*run)/up, float64(three.Through), 1e-8)
	near(t, (stay+(1-up)*4*run)/up, float64(row("far", "three").Through), 1e-8, "by way of one and the levels of two: its ease leads to the first step, four runs back")
	back := 3*run + float64(row("far", "three").Through)
	near(t, (stay+(1-up)*back)/up, float64(row("far", "four").Through), 1e-8)
}
