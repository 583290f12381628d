package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine/plan"
)

func TestWhatSomebodyWishesForComesFirst(t *testing.T) {
	c := yard()
	c.Sessions[0].MaxBehaviours = 2
	plain := plannedOf(t, c, gantry(c), plan.Request{Place: "yard"})
	require.NotContains(t, names(plain), "call-in")
	p := plannedOf(t, c, gantry(c), plan.Request{Place: "yard", Favour: []string{"call-in"}})
	require.Contains(t, names(p), "call-in")
	for _, it := range p.Items {
		if it.Behaviour == "call-in" {
			require.Contains(t, it.Reason, "asked for")
		}
	}
}

// A slow exercise that somebody wishes for is not crowded out by two quick ones.
func TestAWishIsNotCrowdedOut(t *testing.T) {
	c := yard()
	c.Sessions[0].OpensWith, c.Sessions[0].ClosesWith = curriculum.Slot{}, curriculum.Slot{}
	r := plan.Request{Place: "yard", Minutes: 1.5}
	require.NotContains(t, names(plannedOf(t, c, gantry(c), r)), "call-in")
	r.Favour = []string{"call-in"}
	require.Contains(t, names(plannedOf(t, c, gantry(c), r)), "call-in", "three trials take a minute")
}

func TestAWishLiftsNoLimit(t *testing.T) {
	c := yard()
	v := gantry(c, func(by views) { by["call-in"].Stopped = true })
	l := out(t, plannedOf(t, c, v, plan.Request{Place: "yard", Favour: []string{"call-in"}}), "call-in")
	require.Equal(t, plan.Stopped, l.Code)
	_, err := plan.ForView(program(t, c), v, plan.Request{Favour: []string{"call-inn"}})
	require.EqualError(t, err, `behaviour "call-inn" is not known; did you mean "call-in"?`)
}

func TestWhatIsFinishedComesInWhereItIsAskedFor(t *testing.T) {
	c := yard()
	c.Sessions[0].OpensWith, c.Sessions[0].ClosesWith = curriculum.Slot{}, curriculum.Slot{}
	v := gantry(c, func(by views) { by["hand-touch"].ReviewDue = morning.AddDate(0, 0, 3) })
	require.NotContains(t, names(plannedOf(t, c, v, plan.Request{Place: "yard"})), "hand-touch")
	require.Contains(t, names(plannedOf(t, c, v, plan.Request{Place: "yard", Favour: []string{"hand-touch"}})), "hand-touch")
}
