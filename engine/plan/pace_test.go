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

func TestTheDogsOwnPaceCountsByItsCycles(t *testing.T) {
	for _, k := range []struct {
		name  string
		pace  engine.Pace
		takes int64
		want  float64 // seconds of twelve paid trials
	}{
		{"no history", engine.Pace{}, 0, 12 * 7.3},
		{"four cycles say nothing", engine.Pace{Seconds: 20, Cycles: 4}, 0, 12 * 7.3},
		{"ten cycles count half", engine.Pace{Seconds: 14.6, Cycles: 10}, 0, 12 * (14.6 + 7.3) / 2},
		{"fifteen cycles of a quick dog", engine.Pace{Seconds: 4.3, Cycles: 15}, 0, 12 * (15*4.3 + 10*7.3) / 25},
		{"against what the text says a trial takes", engine.Pace{Seconds: 10, Cycles: 10}, 30, 12 * 20},
	} {
		t.Run(k.name, func(t *testing.T) {
			st := step("only", "")
			if k.takes > 0 {
				st.Sheet.Takes = curriculum.Q(k.takes, curriculum.Second)
			}
			c := &curriculum.Curriculum{Name: "one", Behaviours: []*curriculum.Behaviour{{Name: "mat", Steps: []*curriculum.Step{st}}},
				Foods: []curriculum.Food{{Name: "ration", Energy: curriculum.Q(1, curriculum.Kilocalorie), EatenIn: curriculum.Q(2, curriculum.Second)}}, Sessions: []*curriculum.Session{{Lasts: curriculum.Q(20, curriculum.Minute)}}}
			v := shown(c, curriculum.Dog{Name: "okapi"}, func(by views) { by["mat"].State, by["mat"].Pace = curriculum.Working, k.pace })
			p := plannedOf(t, c, v, plan.Request{})
			require.Equal(t, 12, p.Trials)
			require.InDelta(t, k.want, p.Seconds, 12*0.1, "each trial is rounded up to a tenth")
			require.GreaterOrEqual(t, p.Seconds, k.want-1e-9)
		})
	}
}

// From time stamps to the plan: a recall that takes twenty seconds leaves room for fewer trials than the constants say.
func TestASlowTrialLeavesRoomForFewer(t *testing.T) {
	c := &curriculum.Curriculum{Name: "one", Behaviours: []*curriculum.Behaviour{{Name: "call-in", Steps: []*curriculum.Step{step("yard", "")}}}, Sessions: []*curriculum.Session{{Lasts: curriculum.Q(2, curriculum.Minute)}}}
	p := program(t, c)
	planned := func(gap time.Duration) *plan.Plan {
		f := p.NewFold()
		for i := range 3 { // three good and three misses: it stays where it is
			for j := range 6 {
				at := morning.AddDate(0, 0, i-4).Add(time.Duration(j) * gap)
				o := []curriculum.Outcome{curriculum.Success, curriculum.Success, curriculum.Success, curriculum.Wrong, curriculum.Wrong, curriculum.Wrong}[j]
				require.NoError(t, f.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "call-in", At: at, Outcome: o}))
			}
		}
		next, err := plan.Next(p, f, plan.Request{Dog: "okapi", At: morning})
		require.NoError(t, err)
		return next
	}
	quick, slow := planned(8*time.Second), planned(20*time.Second)
	require.Greater(t, quick.Trials, slow.Trials)
	require.LessOrEqual(t, slow.Seconds, 120.0)
}

func TestMoreMinutesThanMayBeAreSaidToBeTooMany(t *testing.T) {
	const says = "not the 8 asked for."
	for _, k := range []struct {
		name           string
		house, profile float64
		want           string
	}{
		{"the house allows less", 5, 0, "At most 5 minutes by the session rules, " + says},
		{"the dog may do less than the house allows", 5, 3, "At most 3 minutes by the dog's profile, " + says},
		{"there is room for what was asked", 10, 8, ""},
	} {
		t.Run(k.name, func(t *testing.T) {
			c := &curriculum.Curriculum{Name: "one", Behaviours: []*curriculum.Behaviour{{Name: "mat", Steps: []*curriculum.Step{step("only", "")}}},
				Sessions: []*curriculum.Session{{Lasts: curriculum.Q(int64(k.house), curriculum.Minute)}}}
			v := shown(c, curriculum.Dog{Name: "okapi", Limits: curriculum.Limits{Minutes: k.profile}}, func(by views) { by["mat"].State = curriculum.Working })
			p := plannedOf(t, c, v, plan.Request{Minutes: 8})
			if k.want == "" {
				require.NotContains(t, strings.Join(p.Notes, "\n"), says)
				return
			}
			require.Contains(t, p.Notes, k.want)
		})
	}
}
