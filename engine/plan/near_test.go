package plan_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/plan"
)

// Two exercises that have gone equally well: what lacks one success comes before what lacks many.
func TestWhatLacksOneSuccessComesBeforeWhatLacksMany(t *testing.T) {
	c := &curriculum.Curriculum{Name: "two", Sessions: []*curriculum.Session{{Lasts: curriculum.Q(5, curriculum.Minute), MaxBehaviours: 1}}}
	for _, k := range []struct {
		name string
		when curriculum.Criterion
	}{{"bow", curriculum.Window{K: 9, N: 10}}, {"wave", curriculum.Window{K: 4, N: 5}}} {
		x := &curriculum.Behaviour{Name: k.name, Steps: []*curriculum.Step{step("first", ""), step("second", "")}}
		x.Steps[0].Rules = []curriculum.Rule{{Word: curriculum.Advance, When: k.when}}
		c.Behaviours = append(c.Behaviours, x)
	}
	p, f := fresh(t, c)
	for i, b := range c.Behaviours {
		for j := range 4 {
			tr := curriculum.Trial{Dog: "gantry", Behaviour: b.Name, At: morning.AddDate(0, 0, -1).Add(time.Duration(10*i+j) * 10 * time.Second), Outcome: curriculum.Success}
			if j == 2 {
				tr.Outcome = curriculum.Wrong
			}
			require.NoError(t, f.Record(&tr))
		}
	}
	for _, v := range f.Dog("gantry", morning).Behaviours {
		require.Equal(t, 3, v.Recent.Successes)
		require.Equal(t, map[string]int{"bow": 6, "wave": 1}[v.Behaviour.Name], v.ToMove)
	}
	next, err := plan.Next(p, f, plan.Request{Dog: "gantry", At: morning})
	require.NoError(t, err)
	require.Equal(t, []string{"wave"}, names(next))
}
