package plan_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/plan"
)

// What loads the body is counted over all behaviours together: two pivots of six trials each may still be too many for
// one day. That it counts so is common practice of the trade, no source.
func TestImpactTrialsAreCountedTogether(t *testing.T) {
	most := func(n int, per curriculum.CapPer) curriculum.Cap { return curriculum.Cap{N: n, Per: per} }
	had := func(name string, today, week int) func(views) {
		return func(by views) { by[name].TrialsToday, by[name].Trials7Days = today, week }
	}
	for _, k := range []struct {
		name        string
		caps        []curriculum.Cap
		had         []func(views)
		left, right int // trials of the two pivots
		reason      string
		profile     int
	}{
		{"without a limit each has its own six", nil, nil, 6, 6, "", 0},
		{"eight a session are shared out", []curriculum.Cap{most(8, curriculum.PerSession)}, nil, 4, 4, "", 0},
		{"what today has had counts, whose ever it was", []curriculum.Cap{most(14, curriculum.PerDay)}, []func(views){had("step-platform", 7, 7)}, 4, 3, "", 0},
		{"so does what seven days have had", []curriculum.Cap{most(30, curriculum.PerWeek), most(20, curriculum.PerDay)}, []func(views){had("step-platform", 0, 22)}, 4, 4, "", 0},
		{"too little left for both", []curriculum.Cap{most(14, curriculum.PerDay)}, []func(views){had("step-platform", 10, 10)}, 4, 0, "14 trials that load the body are the most a day, of all such work together; today has had 10", 0},
		{"nothing left", []curriculum.Cap{most(12, curriculum.PerDay), most(12, curriculum.PerSession)}, []func(views){had("step-platform", 12, 12)}, 0, 0, "12 trials that load the body are the most a day, of all such work together; today has had 12", 0},
		{"nothing left of the week", []curriculum.Cap{most(30, curriculum.PerWeek)}, []func(views){had("step-platform", 0, 31)}, 0, 0, "30 trials that load the body are the most a week, of all such work together; seven days have had 31", 0},
		{"work that is easy on the body does not count", []curriculum.Cap{most(12, curriculum.PerDay)}, []func(views){had("hand-touch", 12, 12)}, 6, 6, "", 0},
		{"a profile may allow fewer", []curriculum.Cap{most(30, curriculum.PerDay)}, []func(views){had("step-platform", 5, 5)}, 4, 0, "gantry's profile: 9 trials that load the body are the most a day, of all such work together; today has had 5", 9},
		{"but not more", []curriculum.Cap{most(8, curriculum.PerSession)}, nil, 4, 4, "", 50},
	} {
		t.Run(k.name, func(t *testing.T) {
			c := yard()
			c.Sessions[0].Impact, c.Sessions[0].Lasts, c.Sessions[0].MaxNew = k.caps, curriculum.Q(20, curriculum.Minute), 3
			for _, b := range c.Behaviours {
				b.NeverWith = nil
			}
			c.Behaviours = append(c.Behaviours, &curriculum.Behaviour{Name: "step-platform", Kinds: []curriculum.Kind{curriculum.Impact}, Steps: []*curriculum.Step{step("up", "two feet up")}})
			k.had = append(k.had, at("pivot-right", curriculum.Working, 0, 1, 3, 5, 2), func(by views) { by["step-platform"].Stopped = true })
			v := gantry(c, k.had...)
			v.Dog.Limits.ImpactADay = k.profile
			p := plannedOf(t, c, v, plan.Request{Place: "yard"})
			got := map[string]int{}
			for _, it := range p.Items {
				got[it.Behaviour] += it.Trials
			}
			require.Equal(t, [2]int{k.left, k.right}, [2]int{got["pivot-left"], got["pivot-right"]})
			if k.reason != "" {
				l := out(t, p, "pivot-right")
				require.Equal(t, plan.LeftOut{Behaviour: "pivot-right", Code: plan.CapReached, Reason: k.reason}, l)
				require.Contains(t, strings.Join(strings.Fields(p.Text()), " "), k.reason)
			}
		})
	}
}

// In the days ahead a session planned counts in those after it.
func TestImpactTrialsOfTheDaysAheadAreCountedTogether(t *testing.T) {
	c := yard()
	c.Sessions[0].Impact = []curriculum.Cap{{N: 7, Per: curriculum.PerDay}, {N: 15, Per: curriculum.PerWeek}}
	p := program(t, c)
	ahead, err := plan.Ahead(p, p.NewFold(curriculum.Dog{Name: "gantry", WeightKg: 31}), plan.Request{Dog: "gantry", At: morning, Place: "yard"}, 7, 14)
	require.NoError(t, err)
	day, week := map[string]int{}, 0
	for _, s := range ahead.Sessions {
		for _, it := range s.Items {
			if strings.HasPrefix(it.Behaviour, "pivot") {
				day[s.At.Format("2006-01-02")] += it.Trials
				week += it.Trials
			}
		}
	}
	for date, n := range day {
		require.LessOrEqual(t, n, 7, date)
	}
	require.LessOrEqual(t, week, 15)
	require.Greater(t, week, 10, "the test must have something to count")
}
