package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

func TestRestsComeBetweenStretchesOfWork(t *testing.T) {
	rested := func(rest, every, lasts int64) *plan.Plan {
		c := yard()
		c.Sessions[0].Lasts = curriculum.Q(lasts, curriculum.Second)
		if rest > 0 {
			c.Sessions[0].Rest = curriculum.Rest{For: curriculum.Q(rest, curriculum.Second), Every: curriculum.Q(every, curriculum.Second)}
		}
		return plannedOf(t, c, gantry(c), plan.Request{Place: "yard"})
	}
	rests := func(p *plan.Plan) (n int) {
		stretch := 0.0
		for i, it := range p.Items {
			switch {
			case it.RestBefore > 0:
				n++
				stretch = 0
			case i > 0:
				stretch += plan.Changeover / 10.0
			}
			stretch += it.Seconds
			require.LessOrEqual(t, stretch, 100.0, "item %d", i+1)
		}
		return n
	}
	plain := rested(0, 0, 300)
	with := rested(60, 100, 300)
	require.Positive(t, rests(with))
	require.Less(t, with.Trials, plain.Trials, "a rest takes its minutes from the work")
	require.LessOrEqual(t, with.Seconds, 300.0)
	require.Contains(t, with.Text(), "Rest first   1 minute: water, and time to sniff")
	require.Contains(t, with.TextFor(engine.ForOwner), "First rest   1 minute: water, and time to sniff")
	require.Zero(t, rests(rested(60, 100, 100)), "as much as one stretch holds needs none")

	// 110 s: a rest of 60 s would leave 50 s for work, one stretch without holds 100 s
	short := rested(60, 100, 110)
	require.Zero(t, rests(short))
	require.Greater(t, short.Seconds, 60.0)
}
