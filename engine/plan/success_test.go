package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/plan"
)

// The estimate is the mean of a beta distribution: (successes + 4 x guess) / (evidence + 4), the guess being 75% where
// the session rules ask for nothing, 90% for what is finished.
func TestTheChanceOfATrial(t *testing.T) {
	for _, k := range []struct {
		name     string
		state    curriculum.State
		good, of int
		want     float64
	}{
		{"nothing is known", curriculum.Working, 0, 0, 0.75},
		{"ten of ten", curriculum.Working, 10, 10, 13.0 / 14},
		{"none of ten", curriculum.Working, 0, 10, 3.0 / 14},
		{"three of five", curriculum.Working, 3, 5, 6.0 / 9},
		{"finished", curriculum.Kept, 0, 0, 0.9},
		{"finished, and half of the newest four good", curriculum.Kept, 2, 4, 5.6 / 8},
	} {
		t.Run(k.name, func(t *testing.T) {
			c := &curriculum.Curriculum{Name: "one", Behaviours: []*curriculum.Behaviour{{Name: "mat", Steps: []*curriculum.Step{step("only", "")}}}, Sessions: []*curriculum.Session{{OpensWith: curriculum.Slot{Behaviour: "mat"}}}}
			v := shown(c, curriculum.Dog{Name: "okapi"}, at("mat", k.state, 0, 0, k.good, k.of, 1))
			p := plannedOf(t, c, v, plan.Request{})
			require.InDelta(t, k.want, p.Expected, 0.005)
			require.InDelta(t, k.want, p.Items[0].Expected, 0.005)
		})
	}
}

func TestASessionKeepsTheSuccessItIsToHave(t *testing.T) {
	c := yard()
	plain := plannedOf(t, c, gantry(c), plan.Request{Place: "yard"})
	require.Contains(t, names(plain), "call-in", "one of five good, and in all the same")
	c.Sessions[0].Success = curriculum.Percent(75)
	p := plannedOf(t, c, gantry(c), plan.Request{Place: "yard"})
	require.GreaterOrEqual(t, p.Expected, 0.745)
	require.Less(t, plain.Expected, p.Expected)
	require.Contains(t, p.Text(), "75% or better is wanted")
	c.Sessions[0].Success = curriculum.Percent(90)
	p = plannedOf(t, c, gantry(c), plan.Request{Place: "yard"})
	require.Equal(t, plan.TooHard, out(t, p, "call-in").Code)
	require.Contains(t, out(t, p, "call-in").Reason, "the session is to succeed at 90% or better")
}

// Rewards a minute, common practice for a new behaviour: 8 to 15, and fewer than 4 are few. A new behaviour whose trial
// takes 20 s pays at most three a minute.
func TestNewWorkThatPaysSeldomIsSaid(t *testing.T) {
	for takes, warned := range map[int64]bool{5: false, 20: true} {
		st := step("only", "")
		st.Sheet.Takes = curriculum.Q(takes, curriculum.Second)
		c := &curriculum.Curriculum{Name: "one", Behaviours: []*curriculum.Behaviour{{Name: "mat", Steps: []*curriculum.Step{st}}}, Sessions: []*curriculum.Session{{}}}
		p := plannedOf(t, c, shown(c, curriculum.Dog{Name: "okapi"}), plan.Request{})
		require.InDelta(t, 0.75*60/float64(takes), p.PerMinute, 0.01)
		if warned {
			require.Contains(t, p.Text(), "New work lives on many rewards")
		} else {
			require.NotContains(t, p.Text(), "New work lives")
		}
	}
}
