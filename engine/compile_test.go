package engine_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

func TestABrokenCurriculumBuiltByAProgramIsRefusedWithEveryFault(t *testing.T) {
	for name, c := range map[string]*curriculum.Curriculum{
		"no curriculum":                nil,
		"a nil behaviour":              house(nil),
		"a behaviour without steps":    house(behaviour("spin")),
		"a nil step":                   house(behaviour("spin", nil)),
		"a behaviour twice":            house(behaviour("spin", step("a")), behaviour("spin", step("a"))),
		"a behaviour without a name":   house(behaviour("", step("a"))),
		"a step twice":                 house(behaviour("spin", step("a"), step("a"))),
		"a rule without a criterion":   house(behaviour("spin", step("a", rule(curriculum.Advance, nil)))),
		"a rule of an unknown word":    house(behaviour("spin", step("a", rule("leap", last(1, 1))))),
		"more than there are":          house(behaviour("spin", step("a", rule(curriculum.Advance, last(5, 4))))),
		"none of none":                 house(behaviour("spin", step("a", rule(curriculum.Advance, last(0, 0))))),
		"a window of a million":        house(behaviour("spin", step("a", rule(curriculum.Advance, last(1, 1_000_000))))),
		"an ease to a later step":      house(behaviour("spin", step("a", curriculum.Rule{Word: curriculum.Ease, To: "b", When: missesOf(1, 1)}), step("b"))),
		"a need of nobody":             house(&curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, Needs: []curriculum.Need{{Other: "spim"}}}),
		"a need of itself":             house(&curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, Needs: []curriculum.Need{{Other: "spin", Step: "a"}}}),
		"a need of its former self":    house(&curriculum.Behaviour{Name: "spin", Formerly: []string{"twirl"}, Steps: []*curriculum.Step{step("a")}, Needs: []curriculum.Need{{Other: "twirl"}}}),
		"better after itself":          house(&curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, BetterAfter: []string{"spin"}}),
		"never with itself":            house(&curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, NeverWith: []curriculum.NeverWith{{Other: "spin", Until: "a"}}}),
		"never with until no step":     house(behaviour("mat", step("b")), &curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, NeverWith: []curriculum.NeverWith{{Other: "mat", Until: "b"}}}),
		"a pair within minus one":      house(behaviour("mat", step("b")), &curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, Pairs: []curriculum.Pair{{Other: "mat", Within: -1}}}),
		"a behaviour on two lines":     house(behaviour("sp\nin", step("a"))),
		"a step with a tab":            house(behaviour("spin", step("a\tb"))),
		"a ramp with a line separator": house(behaviour("spin", &curriculum.Step{Name: "a", Ramps: []curriculum.Ramp{{Of: "turn\u2028", Values: []curriculum.LevelValue{{Name: "x"}}}}})),
		"a place on two lines":         {Places: []string{"ya\r\nrd"}, Behaviours: []*curriculum.Behaviour{behaviour("spin", step("a"))}},
		"a need at no step":            house(&curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, Needs: []curriculum.Need{{Other: "spin", Step: "b"}}}),
		"an expression that is none":   house(behaviour("spin", step("a", rule(curriculum.Advance, curriculum.Holds{Expr: &curriculum.Expression{Text: "latency <"}})))),
		"a condition without a text":   house(behaviour("spin", step("a", rule(curriculum.Advance, curriculum.Holds{})))),
		"an empty and":                 house(behaviour("spin", step("a", rule(curriculum.Advance, curriculum.And{})))),
		"a count of nought":            house(behaviour("spin", step("a", rule(curriculum.Advance, curriculum.Done{})))),
		"after under in this session":  house(behaviour("spin", step("a", rule(curriculum.Advance, curriculum.InSession{Is: curriculum.After{N: 1}})))),
		"a tightened miss":             house(behaviour("spin", step("a", rule(curriculum.Advance, curriculum.Window{K: 1, N: 1, Count: curriculum.Misses, Qualify: curriculum.Qualifiers{EvenHelped: true}})))),
		"a ramp without values":        house(behaviour("spin", &curriculum.Step{Name: "a", Ramps: []curriculum.Ramp{{Of: "turn"}}})),
		"a sliding window twice":       house(behaviour("spin", step("a", rule(curriculum.Advance, curriculum.Window{K: 1, N: 2, Twice: true})))),
		"a nil session":                {Behaviours: []*curriculum.Behaviour{behaviour("spin", step("a"))}, Sessions: []*curriculum.Session{nil}},
		"a limit below nought":         {Behaviours: []*curriculum.Behaviour{behaviour("spin", step("a"))}, Sessions: []*curriculum.Session{{MaxTrials: -3}}},
		"a sign that locks nobody":     {Behaviours: []*curriculum.Behaviour{behaviour("spin", step("a"))}, Signs: []curriculum.Sign{{Name: "limp", Locks: curriculum.LockNamed, Only: []string{"spim"}}}},
		"better after nobody":          house(&curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, BetterAfter: []string{"spim"}}),
		"never with nobody":            house(&curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, NeverWith: []curriculum.NeverWith{{Other: "spim", Until: "a"}}}),
		"a pair with nobody":           house(&curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, Pairs: []curriculum.Pair{{}}}),
		"at most minus three":          house(&curriculum.Behaviour{Name: "spin", Steps: []*curriculum.Step{step("a")}, Caps: []curriculum.Cap{{N: -3}}}),
		"a step at most none":          house(behaviour("spin", &curriculum.Step{Name: "a", Caps: []curriculum.Cap{{}}})),
		"a reward that is none":        house(behaviour("spin", &curriculum.Step{Name: "a", Reward: &curriculum.Schedule{}})),
		"a ratio without a number":     house(behaviour("spin", &curriculum.Step{Name: "a", Reward: &curriculum.Schedule{Kind: curriculum.VariableRatio}})),
		"a level of no ramp":           house(behaviour("spin", &curriculum.Step{Name: "a", Levels: []curriculum.Level{{Values: []curriculum.NamedValue{{Of: "turn"}}}}})),
		"a share of no trials":         house(behaviour("spin", step("a", rule(curriculum.Advance, curriculum.SessionShare{})))),
		"a hundred thousand nots":      house(behaviour("spin", step("a", rule(curriculum.Advance, nested(100_000))))),
		"a criterion within criterion": house(behaviour("spin", step("a", rule(curriculum.Advance, curriculum.Not{Is: curriculum.Named{Name: "x", Is: last(3, 2)}})))),
	} {
		t.Run(name, func(t *testing.T) {
			p, err := engine.Compile(c)
			require.Nil(t, p)
			var all engine.Refusals
			require.ErrorAs(t, err, &all)
			require.NotEmpty(t, all[0].Text)
			require.NotEmpty(t, all[0].Next)
		})
	}
	_, err := engine.Compile(house(behaviour("spin", step("a", rule(curriculum.Advance, last(5, 4)), rule(curriculum.Ease, missesOf(5, 4)))), behaviour("mat")))
	require.Len(t, err, 3, "all faults in one go")
	require.Contains(t, err.Error(), "house.rung:17: spin at a: ")
}

// nested is one success, denied so often.
func nested(deep int) curriculum.Criterion {
	var c curriculum.Criterion = last(1, 1)
	for range deep {
		c = curriculum.Not{Is: c}
	}
	return c
}

func TestAStepWithoutLevelsGetsThemFromItsRamps(t *testing.T) {
	s := turning(step("follow", rule(curriculum.Advance, last(1, 1))), 30, 60)
	s.Levels = nil
	p := compile(t, house(behaviour("spin", s)))
	require.Equal(t, "60 deg", stands(t, p, okapi().tally("spin", "+")).Level["turn"])
}
