package plan_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

func TestACardCountsDownFromTheHistory(t *testing.T) {
	const good, wrong = curriculum.Success, curriculum.Wrong
	for _, k := range []struct {
		name   string
		done   []curriculum.Outcome
		varied bool
		most   int64 // where the profile keeps it, in degrees; 0 nowhere
		want   string
	}{
		{"three of four", []curriculum.Outcome{good, good, wrong, good}, false, 0, "one more success is enough"},
		{"a miss of three", []curriculum.Outcome{good, wrong, good}, false, 0, "2 more in a row are enough"},
		{"values that vary", []curriculum.Outcome{good, wrong, good}, true, 0, "2 more in a row at the full value are enough"},
		{"kept down by the profile", []curriculum.Outcome{good, good, good, good, good}, false, 60, ""},
	} {
		t.Run(k.name, func(t *testing.T) {
			st := step("follow", "", curriculum.Ramp{Of: "turn", Measured: true, Varied: k.varied, Values: quantities(curriculum.Degree, 60, 90, 180)})
			c := &curriculum.Curriculum{Name: "one", Measures: []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}},
				Behaviours: []*curriculum.Behaviour{{Name: "pivot", Steps: []*curriculum.Step{st}}}}
			dog := curriculum.Dog{Name: "okapi"}
			if k.most > 0 {
				dog.Limits.Behaviours = map[string]curriculum.BehaviourLimits{"pivot": {Level: curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(k.most, curriculum.Degree)}}}}}
			}
			p := program(t, c)
			f := p.NewFold(dog)
			for i, o := range k.done {
				require.NoError(t, f.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "pivot", At: morning.AddDate(0, 0, -1).Add(time.Duration(i) * 20 * time.Second), Outcome: o}))
			}
			next, err := plan.Next(p, f, plan.Request{Dog: "okapi", At: morning})
			require.NoError(t, err)
			require.NotEmpty(t, next.Items)
			for _, it := range next.Items {
				require.Equal(t, k.want, it.Card.Soon)
			}
			if k.want != "" {
				require.Contains(t, strings.Join(strings.Fields(next.Text()), " "), "4 of last 5: go on to turn 90 deg; as it stands, "+k.want)
				require.NotContains(t, strings.Join(strings.Fields(next.TextFor(engine.ForOwner)), " "), "as it stands", "an owner does no sums")
			}
		})
	}
}
